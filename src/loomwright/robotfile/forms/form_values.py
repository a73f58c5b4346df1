"""The values of the form: each annotation reads one kind of fact, or one kind of text."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from loomwright.model.device import Limit
from loomwright.model.fact import Fact
from loomwright.robotfile.forms import amounts as a
from loomwright.robotfile.forms import readers as r
from loomwright.robotfile.forms.areas import AREA_SCHEMA
from loomwright.robotfile.forms.facts import FactOf
from loomwright.robotfile.forms.form_base import (
    OrPlain,
    area_of,
    id_list_of,
    line_of,
    names_of,
    remarks_of,
    text_of,
)
from loomwright.robotfile.forms.places import LINE_SCHEMA, POINT, Point, Waypoint
from loomwright.units import Dimension, Gauge
from loomwright.wiring.treat import joints

_TEXT: dict[str, Any] = {"type": ["string", "number", "boolean"]}
_NAMED_TEXTS = {"type": "object", "additionalProperties": _TEXT, "minProperties": 1}
_TEXTS = {"type": "array", "items": _TEXT, "minItems": 1}

Words = Annotated[Fact[str], FactOf(r.word("a short text", "lift"))]
Id = Annotated[Fact[str], FactOf(r.word("an id", "left front"))]
SlotName = Annotated[Fact[str], FactOf(r.word("a slot", "H3"))]
BusName = Annotated[Fact[str], FactOf(r.word("the name of a data bus", "main chain"))]
Maker = Annotated[Fact[str], FactOf(r.word("a word for a group of makers", "group A"))]
PartClass = Annotated[Fact[str], FactOf(r.word("a part class", "light/signal"))]
MotorClass = Annotated[Fact[str], FactOf(r.word("a motor's part class", "motor/brushless-500w"))]
ControllerClass = Annotated[Fact[str], FactOf(r.word("a controller's part class", "controller/inline-40a", "built in"))]
PlugClass = Annotated[Fact[str], FactOf(r.word("a plug's part class", "plug/battery-quick-disconnect", "none"))]
YesNo = Annotated[Fact[bool], FactOf(r.YES_NO)]
GaugeFact = Annotated[Fact[Gauge], FactOf(r.GAUGE)]
ColourFact = Annotated[Fact[str], FactOf(r.COLOUR)]
Length = Annotated[Fact[float], FactOf(a.positive(Dimension.LENGTH, "85 cm", "34 in"))]
Height = Annotated[Fact[float], FactOf(a.quantity(Dimension.LENGTH, "30 cm", signed=True))]
Capacity = Annotated[Fact[float], FactOf(a.up_to("20 cm", Dimension.LENGTH, "20 mm", word="as needed"))]
Travel = Annotated[Fact[float], FactOf(a.up_to("5 m", Dimension.LENGTH, "60 cm"))]
Step = Annotated[Fact[float], FactOf(a.up_to("50 cm", Dimension.LENGTH, "5 mm"))]
Loop = Annotated[Fact[float], FactOf(a.up_to("1 m", Dimension.LENGTH, "75 mm", zero=True))]
Slack = Annotated[Fact[float], FactOf(a.up_to("100 %", Dimension.RATIO, "3 %", zero=True))]
Above = Annotated[Fact[float], FactOf(a.positive(Dimension.LENGTH, "30 cm"))]
Mass = Annotated[Fact[float], FactOf(a.positive(Dimension.MASS, "6 kg"))]
Current = Annotated[Fact[float], FactOf(a.positive(Dimension.CURRENT, "40 A"))]
Voltage = Annotated[Fact[float], FactOf(a.positive(Dimension.VOLTAGE, "6.8 V"))]
Share = Annotated[Fact[float], FactOf(a.positive(Dimension.RATIO, "5 %"))]
Temperature = Annotated[Fact[float], FactOf(a.quantity(Dimension.TEMPERATURE, "30 C"))]
Angle = Annotated[Fact[float], FactOf(a.positive(Dimension.ANGLE, "120 deg"))]
Rotation = Annotated[Fact[float], FactOf(a.positive(Dimension.ROTATION, "4000 rpm"))]
Plain = Annotated[Fact[float], FactOf(a.positive(Dimension.NUMBER, "8.5"))]
Count = Annotated[Fact[int], FactOf(a.whole(least=1, examples=(8,)))]
Number = Annotated[Fact[int], FactOf(a.whole(examples=(7,)))]
LimitFact = Annotated[Fact[Limit], FactOf(r.LIMIT)]
PointFact = Annotated[Fact[Point], FactOf(POINT)]
RampFact = Annotated[Fact[tuple[float, float]], FactOf(r.RAMP)]
Names = Annotated[Fact[tuple[str, ...]], FactOf(r.NAMES)]
Channels = Annotated[Fact[tuple[int, ...]], FactOf(r.CHANNELS)]
Ids = Annotated[Fact[tuple[str, ...]], FactOf(r.IDS)]
Order = Annotated[Fact[tuple[str, ...]], FactOf(r.ORDER)]
Facing = Annotated[Fact[str], FactOf(r.choice("an edge", "left", "right", "front", "back", "up", "down"))]
Joint = Annotated[Fact[str], FactOf(r.choice("a joint", "none", *joints()))]
Over = Annotated[Fact[str], FactOf(r.choice("a way of feeding", "wires", "network cable"))]
Group = Annotated[Fact[str], FactOf(r.word("a group of slots", "heavy", "light", "fused"))]
LineKind = Annotated[Fact[str], FactOf(r.choice("a kind of data line", "bus", "network"))]
Unsaid = Annotated[Fact[str], FactOf(r.choice("a way to treat what is not said", "decide", "ask"))]
MechanismKind = Annotated[
    Fact[str],
    FactOf(
        r.choice(
            "a kind of mechanism",
            *("drive", "drive side", "steered module", "steering", "lift", "arm", "roller", "flywheel", "climber"),
            *("compressor", "other"),
        )
    ),
]
Text = Annotated[str, BeforeValidator(text_of), WithJsonSchema(_TEXT)]
PLAIN_IDS = OrPlain(tuple(r.IDS.schema.items()))
PLAIN_LINE = OrPlain(tuple(LINE_SCHEMA.items()))
IdList = Annotated[
    tuple[str, ...],
    BeforeValidator(id_list_of),
    WithJsonSchema(a.one_of_schemas([{"type": ["string", "number"]}, r.array({"type": ["string", "number"]})])),
]
Line = Annotated[tuple[Waypoint, ...], BeforeValidator(line_of), WithJsonSchema(LINE_SCHEMA)]
Area = Annotated[tuple[Point, ...], BeforeValidator(area_of), WithJsonSchema(AREA_SCHEMA)]
AlsoCalled = Annotated[
    dict[str, str], BeforeValidator(names_of), WithJsonSchema(a.one_of_schemas([_TEXT, _TEXTS, _NAMED_TEXTS]))
]
Remarks = Annotated[
    tuple[str, ...], BeforeValidator(remarks_of), WithJsonSchema(a.one_of_schemas([_TEXT, _TEXTS, _NAMED_TEXTS]))
]
