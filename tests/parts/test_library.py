"""The library: own parts first, shipped ones next, nothing read that was not asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.parts.library import Library, PartOrigin

OWN = """\
title: Our motor
source: measured
sockets:
  motor: {role: motor input, ports: [plus, minus], held by: tab 1/4 in}
"""


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """Give a parts folder with one own motor and one in place of a shipped part."""
    folder = tmp_path / "parts"
    (folder / "motor").mkdir(parents=True)
    (folder / "motor" / "our-gearbox.yaml").write_text(OWN, encoding="utf-8")
    (folder / "motor" / "brushed-340w.yaml").write_text(OWN, encoding="utf-8")
    return folder


def test_shipped_parts_are_found_by_id() -> None:
    """A shipped part has no place in the robot's files."""
    library = Library()
    part = library.part("motor/brushless-500w")
    assert part is not None
    assert (part.title, part.mark) == ("Brushless motor, 500 W class", None)
    assert library.origin("motor/brushless-500w") is PartOrigin.SHIPPED
    assert library.noticed() == ()


def test_an_own_part_is_found_and_listed(own: Path) -> None:
    """It follows the same form and stands among all ids."""
    library = Library(own)
    part = library.part("motor/our-gearbox")
    assert part is not None
    assert part.mark is not None
    assert str(part.mark) == "parts/motor/our-gearbox.yaml:1:1"
    assert "motor/our-gearbox" in library.ids()
    assert library.origin("motor/our-gearbox") is PartOrigin.OWN


def test_an_own_part_wins_over_a_shipped_one_and_that_is_said(own: Path) -> None:
    """Never silently."""
    library = Library(own)
    part = library.part("motor/brushed-340w")
    assert part is not None
    assert part.title == "Our motor"
    assert library.origin("motor/brushed-340w") is PartOrigin.OWN_OVER_SHIPPED
    assert library.ids().count("motor/brushed-340w") == 1
    [told] = library.noticed()
    assert told.as_text() == (
        "parts/motor/brushed-340w.yaml:1:1  motor/brushed-340w  [own-part-wins] consider\n"
        "  This robot's own motor/brushed-340w is used in place of the shipped part of that name.\n"
        "  Fix: Give it another name if you want both."
    )


def test_a_file_that_can_be_no_part_is_told(own: Path) -> None:
    """A capital letter or a file in no folder is not lost without a word."""
    (own / "motor" / "Our Motor.yaml").write_text(OWN, encoding="utf-8")
    (own / "loose.yml").write_text(OWN, encoding="utf-8")
    told = [finding for finding in Library(own).noticed() if finding.code == "part-file-not-used"]
    assert [finding.place.file for finding in told] == ["parts/loose.yml", "parts/motor/Our Motor.yaml"]


def test_only_what_is_asked_for_is_read(own: Path) -> None:
    """A broken part hurts nobody who does not use it, and tells all its faults to those who do."""
    (own / "motor" / "broken.yaml").write_text("title: x\ncolour: red\nsize: big\n", encoding="utf-8")
    library = Library(own)
    assert library.part("motor/our-gearbox") is not None
    assert "motor/broken" in library.ids()
    with pytest.raises(UnreadableInputError) as caught:
        library.part("motor/broken")
    assert [fault.place.file for fault in caught.value.faults] == ["parts/motor/broken.yaml"] * len(caught.value.faults)
    assert {fault.code for fault in caught.value.faults} >= {"unknown-key", "bad-value"}


@pytest.mark.parametrize(
    "part_id",
    [
        "",
        "motor",
        "../motor/our-gearbox",
        "motor/../../secret",
        "/etc/passwd",
        "motor//our-gearbox",
        "motor\\our-gearbox",
        "motor/our-gearbox.yaml",
        "Motor/our-gearbox",
        "motor/our-gearbox\n",
        "C:/motor/our-gearbox",
    ],
)
def test_a_strange_id_is_just_unknown(own: Path, part_id: str) -> None:
    """No id leads out of the folder."""
    (own.parent / "secret.yaml").write_text(OWN, encoding="utf-8")
    library = Library(own)
    assert library.part(part_id) is None
    assert library.origin(part_id) is None


def test_a_link_out_of_the_folder_is_not_followed(own: Path) -> None:
    """A folder from somebody else can't make the tool read other files."""
    secret = own.parent / "secret.yaml"
    secret.write_text(OWN, encoding="utf-8")
    try:
        (own / "motor" / "link.yaml").symlink_to(secret)
    except OSError:
        pytest.skip("this system makes no links")
    library = Library(own)
    assert library.part("motor/link") is None
    assert "motor/link" not in library.ids()
    assert [finding.code for finding in library.noticed()] == ["own-part-wins", "part-file-not-used"]


def test_unknown_parts_have_nearest_names() -> None:
    """A slip is answered with what was meant."""
    library = Library()
    assert library.nearest("motor/brushles-500w")[0] == "motor/brushless-500w"
    assert library.nearest("controler/inline40a")[0] == "controller/inline-40a"
    assert library.nearest("block/8-heavy-8-light")[0].startswith("block/")
