"""What is wrong with places, trunks, keep-outs and pins is told with its place and what to do, through the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.jobs.test_deciding import ROBOT
from tests.journeys.program import loomwright

LEFT_RAIL = "left rail: [[12 cm, 5 cm], [12 cm, 55 cm]]"
LEFT_FRONT = "left front: {motor"
BOTH_LEFT = "inline-40a, at: [6 cm, 52 cm], limit: {supply: 40 A}}\n  left rear: {motor"
WHEEL = "  keep outs:\n    wheel: [[0, 45 cm], [15 cm, 45 cm], [15 cm, 60 cm], [0, 60 cm]]\n  trunks:"

#: What is written instead of what; the exit code; the line that begins the finding; its sentence; its fix.
BAD = [
    pytest.param(
        ("at: [54 cm, 52 cm]", "at: [74 cm, 52 cm]"),
        1,
        "robot.yaml:10:85  mechanisms.right front.at  [device-off-plate] must",
        "right front is at 74 cm right and 52 cm forward, which is outside the outline of the plate.",
        "Correct its `at:`, or the `outline:` of the plate that carries it.",
        id="a device outside the plate",
    ),
    pytest.param(
        (LEFT_RAIL, "left rail: [[12 cm, 5 cm]]"),
        2,
        "robot.yaml:18:16  plate.trunks.left rail  [bad-line] must",
        "A trunk leads from place to place, and this is one place alone.",
        "Write where it leads",
        id="a trunk with one point",
    ),
    pytest.param(
        (LEFT_RAIL, "left rail: {along: [[12 cm, 5 cm], [12 cm, 55 cm]], capacity: 2 mm}"),
        1,
        "robot.yaml:18:67  plate.trunks.left rail.capacity  [trunk-takes-no-wire] must",
        "The trunk left rail lets 2 mm through, and one wire of 22 AWG is 2.35 mm thick.",
        "Write the diameter that its clips and holes let through",
        id="a capacity below one wire",
    ),
    pytest.param(
        ("  trunks:", WHEEL),
        1,
        "robot.yaml:18:5  plate.keep outs.wheel  [keep-out-over-terminal] must",
        "The keep-out wheel covers left front itself, so no wire may get there.",
        "Draw wheel smaller, or move left front.",
        id="a keep-out over a terminal",
    ),
    pytest.param(
        (LEFT_FRONT, "left front: {slot: L1, protection: 40 A, motor"),
        1,
        "robot.yaml:8:38  mechanisms.left front.protection  [protection-not-for-slot] must",
        "left front has 40 A on slot L1 of block, which takes 30 A, 20 A or 10 A.",
        "Use a rating that the slot takes, or another slot.",
        id="a pin that its slot does not take",
    ),
    pytest.param(
        (LEFT_FRONT, "left front: {slot: H7, motor"),
        2,
        "robot.yaml:8:22  mechanisms.left front.slot  [no-such-slot] must",
        "There is no slot `H7` on block.",
        "The slots are H1, H2, H3, H4, H5, H6",
        id="a pin on a slot that is not there",
    ),
    pytest.param(
        (LEFT_FRONT, "left front: {slot: H1, motor", BOTH_LEFT, BOTH_LEFT.replace("rear: {", "rear: {slot: H1, ")),
        1,
        "robot.yaml:9:21  mechanisms.left rear.slot  [slot-used-twice] must",
        "left front and left rear are both on slot H1 of block.",
        "Give each circuit a slot of its own",
        id="two pins on one slot",
    ),
    pytest.param(
        (LEFT_RAIL, "left rail: [[12, 5 cm], [12 cm, 55 cm]]"),
        2,
        "robot.yaml:18:18  plate.trunks.left rail[1][1]  [bad-value] must",
        "`12` has no unit.",
        "Write `12 cm`, `12 mm` or `12 in`.",
        id="a place without a unit",
    ),
]


@pytest.mark.parametrize(("changes", "code", "where", "what", "fix"), BAD)
def test_what_is_wrong_is_told_with_its_place_and_its_fix(
    changes: tuple[str, ...], code: int, where: str, what: str, fix: str, tmp_path: Path
) -> None:
    """What can't be read ends with 2 on stderr; what can, is planned as far as it goes and ends with 1."""
    text = ROBOT
    for old, new in zip(changes[::2], changes[1::2], strict=True):
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / "robot.yaml").write_text(text, encoding="utf-8")
    ended = loomwright("check", str(tmp_path))
    assert ended.code == code
    lines = (ended.err if code == 2 else ended.out).splitlines()
    at = lines.index(where)
    assert what in lines[at + 1]
    assert f"Fix: {fix}" in lines[at + 2]


def test_the_robot_itself_has_none_of_these(tmp_path: Path) -> None:
    """What is told above comes from the change alone."""
    (tmp_path / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    ended = loomwright("check", str(tmp_path))
    assert ended.code == 0
    assert "] must" not in ended.out
