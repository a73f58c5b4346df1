"""Network folders are known by what is mounted, folders that are kept in step by their names."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from loomwright.store.folder_kind import network_kind, synced_by
from tests.store.laptops import quick_folder

_MOUNTS = r"""tmpfs /run tmpfs rw 0 0
/dev/sdb1 /media/mia/STICK\040ONE vfat rw 0 0
files:/export/team /srv/team nfs4 rw 0 0
//files/shop /srv/shop cifs rw 0 0
mia@files:/robots /home/mia/far fuse.sshfs rw 0 0
C:\134 /mnt/c 9p rw 0 0
far-away:bucket/robots /srv/kind-nobody-heard-of strange rw 0 0
files:/robots /srv/other strange rw 0 0
gvfsd-fuse /run/user/1000/gvfs fuse.gvfsd-fuse rw 0 0
/dev/sdc1 /srv/team/local ext4 rw 0 0
systemd-1 /srv/later autofs rw 0 0
files:/later /srv/later nfs rw 0 0
files:/under /srv/hidden nfs rw 0 0
/dev/sdd1 /srv/hidden ext4 rw 0 0
files:/odd /srv/odd\134name nfs rw 0 0
/dev/sda2 / ext4 rw,relatime 0 0
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/home/mia/robot", ""),
        ("/media/mia/STICK ONE/robot", ""),
        ("/srv/team", "nfs4"),
        ("/srv/team/deep/down", "nfs4"),
        ("/srv/team/local/robot", ""),
        ("/srv/teamwork", ""),
        ("/srv/shop/robot", "cifs"),
        ("/home/mia/far/robot", "fuse.sshfs"),
        ("/mnt/c/robots", "9p"),
        ("/srv/other", "strange"),
        ("/run/user/1000/gvfs/share", "fuse.gvfsd-fuse"),
        ("/srv/later/robot", "nfs"),
        ("/srv/hidden/robot", ""),
        ("/srv/odd\\name/robot", "nfs"),
    ],
)
def test_a_network_folder_is_known_by_its_mount(folder: str, kind: str) -> None:
    """The nearest mount above decides, of two on one folder the last; what comes from a host is far by any type."""
    assert network_kind(PurePosixPath(folder), _MOUNTS) == kind


def test_a_share_is_known_by_its_path() -> None:
    """Where the system tells no mounts, two strokes in front of a name do; a disk's letter does not."""
    assert network_kind(PureWindowsPath(r"\\files\team\robot"), "") == "a network share"
    assert network_kind(PureWindowsPath(r"C:\Users\mia\robot"), "") == ""
    assert network_kind(PurePosixPath("/home/mia"), "") == ""


@pytest.mark.parametrize(
    ("folder", "name"),
    [
        ("/home/mia/TeamSync/robot", "TeamSync"),
        ("/home/mia/sync/robot", "sync"),
        ("/home/mia/HomeCloud/robot", "HomeCloud"),
        ("/Users/mia/Library/CloudStorage/Any-Thing/robot", "CloudStorage"),
        ("/home/mia/SchoolDrive/robot", "SchoolDrive"),
        ("/mnt/c/Users/mia/SchoolDrive - Team/robot", "SchoolDrive - Team"),
        ("/My Drive/robot", "My Drive"),
        ("/home/mia/robots/swerve drive", ""),
        ("/home/mia/robots/SwerveDrive/files", ""),
        ("/home/mia/Drivetrain", ""),
        ("/home/mia/async-tests/robot", ""),
        ("/home/mia/Synchronous Motors", ""),
        ("/home/mia/Cloudy Day", ""),
    ],
)
def test_a_folder_that_is_kept_in_step_is_known_by_a_name_above_it(folder: str, name: str) -> None:
    """Sync and cloud anywhere; a drive only right below somebody's own folder or at the top: robots have them, too."""
    assert synced_by(Path(folder)) == name


def test_a_hidden_mark_in_the_folder_or_above_it_tells() -> None:
    """But not one among the settings in a person's own folder."""
    with quick_folder() as top:
        robot = top / "home" / "mia" / "robots" / "tidepool"
        robot.mkdir(parents=True)
        (top / "home" / "mia" / ".cloud-tool").mkdir()
        assert synced_by(robot) == ""
        (robot.parent / ".sync").mkdir()
        assert synced_by(robot) == ".sync"
