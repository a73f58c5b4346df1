"""The form of the plates: their outlines, the trunks drawn on them, the areas that wires stay out of."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field

from loomwright.model.fact import Fact
from loomwright.robotfile.forms import form_values as v
from loomwright.robotfile.forms.form_base import Form, list_as, named


class TrunkForm(Form):
    """A shared route across a plate, or from plate to plate."""

    meaning = "a trunk"
    along: v.Line = Field(default=(), description="its line, as a list of places; a third length is a height")
    capacity: v.Capacity = Field(
        default_factory=Fact,
        examples=["20 mm", "as needed"],
        description="the bundle that its clips and holes let through, or `as needed`",
    )
    moving: v.YesNo = Field(default_factory=Fact, description="whether it bends while the robot works")
    travel: v.Travel = Field(default_factory=Fact, description="how far the far end of a moving one goes")
    sharp_edge: v.YesNo = Field(default_factory=Fact, description="whether it passes a sharp edge")
    near_swarf: v.YesNo = Field(default_factory=Fact, description="whether metal swarf can get to it")
    signal_only: v.YesNo = Field(default_factory=Fact, description="whether it is kept for data and signals")
    note: v.Text = Field(default="", description="anything else, kept as written")


class PlateForm(Form):
    """The robot's base plate, seen from above; the origin is its left rear corner."""

    meaning = "the plate"
    outline: v.Area = Field(default=(), description="its corners, one after the other")
    trunks: Annotated[
        dict[str, Annotated[TrunkForm, BeforeValidator(partial(list_as, "along")), v.PLAIN_LINE]],
        BeforeValidator(partial(named, "centre: [[320 mm, 120 mm], [320 mm, 680 mm]]")),
    ] = Field(default_factory=dict, description="shared routes by name, each a list of places or with its flags")
    keep_outs: Annotated[
        dict[str, v.Area], BeforeValidator(partial(named, "wheel well: [[0, 0], [8 cm, 0], [8 cm, 20 cm], [0, 20 cm]]"))
    ] = Field(default_factory=dict, description="areas that no wire may cross, by name, each a list of corners")
    note: v.Text = Field(default="", description="anything else, kept as written")


class UpperPlateForm(PlateForm):
    """A plate above the base plate; its places count from the same corner."""

    meaning = "an upper plate"
    first: ClassVar[Sequence[str]] = ("height", "outline", "trunks", "keep outs")
    height: v.Above = Field(default_factory=Fact, description="its height above the base plate")
