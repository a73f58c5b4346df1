"""What kind of folder bench.db lies in: on this machine, on a network, or one that another program keeps in step."""

from __future__ import annotations

import re
from pathlib import Path, PurePath
from typing import Final

from loomwright.findings import Finding, Place, Severity

#: Where the system tells which file system is mounted where; systems without it can't be asked.
MOUNTS: Final = Path("/proc/mounts")
_NETWORK_TYPES: Final = frozenset({"nfs", "nfs4", "cifs", "smbfs", "smb2", "smb3", "9p", "ncpfs", "davfs", "webdav"})
_NETWORK_FUSE: Final = frozenset({"fuse.sshfs", "fuse.davfs", "fuse.gvfsd-fuse"})
#: `//host/share` or `host:/folder`: what is mounted lies on another machine, whatever the type is called.
_REMOTE: Final = re.compile(r"//[^/]|[^/:]{2,}:/")
_ESCAPED: Final = re.compile(r"\\([0-7]{3})")
#: "Sync" and "cloud" in a name: TeamSync, my-sync, HomeCloud, CloudStorage; not async, not Cloudy.
_SYNCED: Final = re.compile(r"(?<![Aa])[Ss]ync(?!hron)|[Cc]loud(?![a-z])")
#: "Drive" only as the folder right below a person's own or at the top of a disk: robots have drives, too.
_DRIVE: Final = re.compile(r"(?:^|[a-z ])Drives?(?![a-z])")
_HOMES: Final = frozenset({"home", "Users"})


def network_kind(folder: PurePath, mounts: str) -> str:
    """Return what makes a folder one on a network ("nfs4"), "" where nothing does; `mounts` as in /proc/mounts."""
    if folder.anchor.startswith(("\\\\", "//")):
        return "a network share"
    best, kind = -1, ""
    for source, point, type_ in re.findall(r"^(\S+) (\S+) (\S+) ", mounts, re.MULTILINE):
        mounted = PurePath(_ESCAPED.sub(lambda found: chr(int(found[1], 8)), point))
        # The last one mounted on a folder is the one that is seen.
        if len(mounted.parts) >= best and folder.is_relative_to(mounted):
            remote = type_ in _NETWORK_TYPES | _NETWORK_FUSE or _REMOTE.match(source)
            best, kind = len(mounted.parts), type_ if remote else ""
    return kind


def synced_by(folder: Path) -> str:
    """Return the name that makes a folder look like one that is kept in step with other machines, "" where none does.

    It goes by names alone, those of the folders above and of hidden files in them: it can be wrong both ways.
    """
    parts = folder.parts
    own = next((place + 2 for place, part in enumerate(parts) if part in _HOMES), 0)
    for place, part in enumerate(parts[1:], 1):
        if _SYNCED.search(part) or (place in (1, own) and _DRIVE.search(part)):
            return part
    # Hidden files right in a person's own folder are settings of programs; they say nothing about the folder.
    for above in (folder, *folder.parents):
        if len(above.parts) <= (own or 2):
            break
        for hidden in sorted(above.glob(".*")):
            if _SYNCED.search(hidden.name):
                return hidden.name
    return ""


def on_network(file: str, kind: str) -> Finding:
    """Say that records can't be kept on a network (source: sqlite-wal)."""
    what = f"The folder of {file} lies on a network ({kind}), where two machines can damage it without noticing."
    fix = (
        "Put the robot's folder on a disk of this laptop. Other laptops get the records by export and import, phones "
        "through the screens."
    )
    return Finding("bench-on-network", Severity.MUST, Place(file), what, fix, "sqlite-wal")


def in_step(file: str, name: str) -> Finding:
    """Say that another program may copy the file while it is written (source: sqlite-corrupt)."""
    what = (
        f"The folder of {file} looks like one that is kept in step with other machines (`{name}`). A copy that is made "
        "in the middle of a record is damaged, and of two laptops one undoes what the other wrote."
    )
    fix = "Put the robot's folder somewhere else, or leave bench.db* out of what is copied; share exports and backups."
    return Finding("bench-in-synced-folder", Severity.SHOULD, Place(file), what, fix, "sqlite-corrupt")
