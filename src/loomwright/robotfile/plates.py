"""The plates of a robot: their trunks with every point's height, and the faults of what is drawn on them."""

from __future__ import annotations

import re
from itertools import pairwise
from math import isinf
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.model.robot import KeepOut, Plate, Trunk
from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.robotfile.forms.places import refuse_same
from loomwright.wording import natural, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.model.mark import Mark
    from loomwright.robotfile.forms.form import RobotForm
    from loomwright.robotfile.forms.form_plates import PlateForm, TrunkForm, UpperPlateForm
    from loomwright.robotfile.forms.leaves import Branch, Faults

TRUNK_FLAGS = ("moving", "sharp edge", "near swarf", "signal only")
_LONGEST_NAME = 60
#: What the tool calls a stretch of trunk that it proposes itself.
_OURS = re.compile(r"(?:link|drop) \d+", re.IGNORECASE)


def read_plates(form: RobotForm, faults: Faults) -> tuple[Plate, tuple[Plate, ...]]:
    """Return the base plate and the plates above it, the lowest first.

    A plate whose height is not known can't be wired along, so it is left out here; `noticed` asks for its height.
    """
    _look_at_names(form, faults)
    base = _plate("", form.plate, 0.0, faults)
    uppers: list[Plate] = []
    for name, upper in form.plates.items():
        height_m = _height_m(name, upper, form.branch["plates"][name], faults)
        plate = _plate(name, upper, height_m or 0.0, faults)
        uppers += [] if height_m is None else [plate]
    return base, tuple(sorted(uppers, key=lambda plate: (plate.height_m, natural(plate.name))))


def plate_forms(form: RobotForm) -> Iterator[tuple[str, PlateForm]]:
    """Give every plate by name; the base plate is called "plate"."""
    yield "plate", form.plate
    yield from form.plates.items()


def _height_m(name: str, plate: UpperPlateForm, raw: object, faults: Faults) -> float | None:
    branch: Branch = plate.branch
    if branch is raw and "height" not in branch:
        what = f"{name} is a plate above the base plate, and it has no height."
        faults.add(
            "missing-key", branch, what, "Write `height: 30 cm`, measured from the base plate.", mark=branch.head
        )
    return plate.height.value


def _plate(name: str, form: PlateForm, height_m: float, faults: Faults) -> Plate:
    marks = _marks(form, "keep outs")
    keep_outs = tuple(KeepOut(area, corners, marks.get(area)) for area, corners in form.keep_outs.items())
    trunks = tuple(
        _trunk(called, trunk, form.branch["trunks"][called], height_m, faults) for called, trunk in form.trunks.items()
    )
    mark = form.branch.mark if form.branch is not None else None
    return Plate(form.outline, trunks, keep_outs, name, height_m, mark)


def _trunk(name: str, form: TrunkForm, raw: object, height_m: float, faults: Faults) -> Trunk:
    branch: Branch = form.branch
    points = tuple((x, y, height_m if up is None else up) for x, y, up in form.along)
    for number, (one, other) in enumerate(pairwise(points), 1):
        try:
            refuse_same(one, other, "place")
        except NotReadableError as error:
            error.note(faults, branch["along"][number])
    if branch is raw and "along" not in branch:
        what, fix = f"{name} is a trunk without a line.", "Write `along: [[320 mm, 120 mm], [320 mm, 680 mm]]`."
        faults.add("missing-key", branch, what, fix)
    if form.travel.said and not (form.moving.value or form.moving.asks):
        what = f"{name} has a travel, and it is not said to be moving."
        fix = "Write `moving: yes` beside it, or take `travel` out."
        faults.add(
            "travel-without-moving", None, what, fix, mark=branch.key_marks["travel"], path=f"{branch.path}.travel"
        )
    capacity: Fact[float] = Fact() if isinf(form.capacity.value or 0.0) else form.capacity
    flags = tuple(flag for flag in TRUNK_FLAGS if getattr(form, flag.replace(" ", "_")).value)
    return Trunk(name, points, flags, branch.mark, capacity, form.travel, branch.path)


def _look_at_names(form: RobotForm, faults: Faults) -> None:
    """Note names of trunks that stand on two plates, that the tool needs itself, or that no sheet has room for."""
    first: dict[str, Mark] = {}
    for plate in (form.plate, *form.plates.values()):
        for name, mark in _marks(plate, "trunks").items():
            path = f"{plate.branch.path}.trunks.{name}"
            twin = first.setdefault(name, mark)
            if twin is not mark:
                what = f"Two trunks are called {quoted(name)}; the other one is in line {twin.line}."
                faults.add("trunk-used-twice", None, what, "Give one of them another name.", mark=mark, path=path)
            if _OURS.fullmatch(name):
                what = f"{quoted(name)} is what a stretch is called that the tool proposes itself."
                faults.add("reserved-id", None, what, "Give the trunk another name.", mark=mark, path=path)
            elif len(name) > _LONGEST_NAME:
                what = f"This name has {len(name)} characters, and a label has room for {_LONGEST_NAME}."
                faults.add("bad-id", None, what, "Write it short.", mark=mark, path=path)


def _marks(form: PlateForm, key: str) -> Mapping[str, Mark]:
    """Return where each name of a group stands."""
    held = form.branch.get(key) if form.branch is not None else None
    marks: Mapping[str, Mark] = getattr(held, "key_marks", {})
    return marks
