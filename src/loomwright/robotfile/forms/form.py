"""The form of robot.yaml: what may be written where. The JSON Schema comes from the same classes."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from loomwright.model.fact import Fact
from loomwright.robotfile.forms import form_values as v
from loomwright.robotfile.forms.form_base import Form, OrPlain, branches, links_of, list_as, named, one_or_more
from loomwright.robotfile.forms.form_plates import PlateForm, UpperPlateForm
from loomwright.robotfile.forms.form_things import (
    BatteryForm,
    BlockForm,
    MainBreakerForm,
    MechanismForm,
    MotorForm,
    ThingForm,
)

_THINGS = BeforeValidator(partial(named, "an id: {part: ...}"))
Things = Annotated[dict[str, ThingForm], _THINGS]
Blocks = Annotated[dict[str, BlockForm], _THINGS]
Plates = Annotated[
    dict[str, UpperPlateForm],
    BeforeValidator(partial(named, "upper deck: {height: 30 cm, trunks: {mast: [[0, 0], [640 mm, 0]]}}")),
]
Mechanisms = Annotated[dict[str, MechanismForm], BeforeValidator(partial(named, "lift: {motor: ..., controller: ...}"))]


class BusForm(Form):
    """A data bus or a network."""

    meaning = "a data bus"
    first = ("order", "devices", "ends", "terminators", "kind", "links")
    kind: v.LineKind = Field(default_factory=Fact, description="`bus` (a chain, where nothing is said) or `network`")
    order: v.Order = Field(
        default_factory=Fact,
        examples=["[one id, another id]", "shortest"],
        description="the chain in the order of its cable, `shortest`, or `unknown`",
    )
    devices: v.IdList = Field(default=(), description="who is on it, where no order is written")
    ends: v.IdList = Field(default=(), description="who has to be at an end, where the order is `shortest`")
    terminators: v.Ids = Field(default_factory=Fact, description="the devices whose terminator is on")
    links: Annotated[tuple[v.IdList, ...], BeforeValidator(links_of)] = Field(
        default=(), description="network cables, each between two devices"
    )
    note: v.Text = Field(default="", description="anything else, kept as written")


DataLines = Annotated[
    dict[str, Annotated[BusForm, BeforeValidator(partial(list_as, "order")), v.PLAIN_IDS]],
    BeforeValidator(partial(named, "main chain: [one id, another id]")),
]


class WiresForm(Form):
    """What holds for every wire unless a thing says otherwise."""

    meaning = "`wires`"
    supply: v.Voltage = Field(
        default_factory=Fact, examples=["12 V"], description="the voltage that a drop is a share of: 12 V"
    )
    drop: v.Share = Field(default_factory=Fact, description="the drop allowed on a circuit's own wires: 5 %")
    path_drop: v.Share = Field(
        default_factory=Fact,
        examples=["10 %"],
        description="the drop allowed from the battery to the load, with the leads that all share: 10 %",
    )
    ambient: v.Temperature = Field(default_factory=Fact, description="the warmest air around the wires: 30 C")
    insulation: v.Temperature = Field(
        default_factory=Fact, examples=["105 C"], description="what the insulation stands: 105 C"
    )
    conductor_temperature: v.Temperature = Field(
        default_factory=Fact, examples=["20 C", "75 C"], description="the copper's temperature for the drop"
    )
    bundle: v.Count = Field(default_factory=Fact, description="how many wires lie together")
    loading: v.Share = Field(
        default_factory=Fact, examples=["50 %"], description="how loaded such a bundle is as a whole"
    )
    planning_current: v.Current = Field(
        default_factory=Fact, examples=["130 A"], description="the current the whole robot is planned for"
    )
    step: v.Step = Field(default_factory=Fact, description="wires are cut to whole steps, rounded up: 10 mm")
    service_loop: v.Loop = Field(default_factory=Fact, description="what each end of a wire gets in spare: 75 mm")
    slack: v.Slack = Field(
        default_factory=Fact, description="what a wire gets in spare along its way, as a share of it"
    )


class AddForm(Form):
    """What a build adds: things in their groups, as in the whole file."""

    meaning = "`add`"
    blocks: Blocks = Field(default_factory=dict, description="more blocks")
    mechanisms: Mechanisms = Field(default_factory=dict, description="more mechanisms, or more motors in one")
    electronics: Things = Field(default_factory=dict, description="more electronics")
    pneumatics: Things = Field(default_factory=dict, description="more pneumatics")
    lights: Things = Field(default_factory=dict, description="more lights")
    sensors: Things = Field(default_factory=dict, description="more sensors")
    data: DataLines = Field(default_factory=dict, description="more data buses and networks")
    plates: Plates = Field(default_factory=dict, description="more plates above the base plate")


class BuildForm(Form):
    """One build of the design: what it leaves out, changes and adds."""

    meaning = "a build"
    without: v.IdList = Field(default=(), description="ids of what this build does not have")
    change: Annotated[dict[str, Any], BeforeValidator(branches)] = Field(
        default_factory=dict, description="by id: the facts that differ"
    )
    add: AddForm = Field(default_factory=AddForm.model_construct, description="more things, in their groups")
    differs: v.Words = Field(
        default_factory=Fact, examples=["unknown"], description="`unknown`, where nobody wrote down how"
    )
    note: v.Text = Field(default="", description="anything else, kept as written")


class SwapForm(Form):
    """Things of which one statement may be swapped."""

    meaning = "`maybe swapped`"
    which: v.IdList = Field(default=(), description="the ids of the things")
    in_: v.Text = Field(default="", description="the fact that may be swapped: id, slot, direction ...")


class StaleForm(Form):
    """A remark that is known to be out of date."""

    meaning = "a stale remark"
    says: v.Text = Field(default="", description="what it says")
    where: v.Text = Field(default="", description="where it stands")


class RobotForm(Form):
    """The whole file."""

    meaning = "the robot file"
    first = ("robot", "battery", "main breaker", "blocks", "mechanisms", "electronics", "data", "builds")
    robot: v.Text = Field(default="", description="the robot's name")
    rules: v.Text = Field(default="common-practice", description="the rule book the robot is judged by")
    unsaid: v.Unsaid = Field(
        default_factory=Fact, description="`ask` for a robot that exists: what is left out is asked, never decided"
    )
    battery: BatteryForm | None = Field(default=None, description="the battery, its leads and its plug")
    main_breaker: MainBreakerForm | None = Field(default=None, description="the main breaker")
    blocks: Blocks = Field(default_factory=dict, description="distribution blocks and sub-blocks, by id")
    every_motor: MotorForm | None = Field(default=None, description="what holds for every motor that does not differ")
    mechanisms: Mechanisms = Field(default_factory=dict, description="what moves, by name, with its motors")
    electronics: Things = Field(default_factory=dict, description="computers, radio, regulators, by id")
    pneumatics: Things = Field(default_factory=dict, description="module, compressor, valves, by id")
    lights: Things = Field(default_factory=dict, description="the signal light and others, by id")
    sensors: Things = Field(default_factory=dict, description="switches, encoders and other sensors, by id")
    data: DataLines = Field(default_factory=dict, description="data buses and networks, by name")
    plate: PlateForm = Field(
        default_factory=PlateForm.model_construct, description="the base plate: outline, trunks, areas to avoid"
    )
    plates: Plates = Field(default_factory=dict, description="more plates above it, by name, each with its height")
    wires: WiresForm = Field(default_factory=WiresForm.model_construct, description="what holds for every wire")
    builds: Annotated[dict[str, BuildForm], BeforeValidator(partial(named, "practice: {without: [an id]}"))] = Field(
        default_factory=dict, description="variants of the design, by name"
    )
    conventions: v.Remarks = Field(default=(), description="rules that the team keeps by itself")
    maybe_swapped: Annotated[tuple[SwapForm, ...], BeforeValidator(one_or_more), OrPlain()] = Field(
        default=(), description="things that may stand for each other, one or a list"
    )
    removed: v.Remarks = Field(default=(), description="things that are no longer on the robot")
    stale: Annotated[tuple[StaleForm, ...], BeforeValidator(one_or_more), OrPlain()] = Field(
        default=(), description="remarks known to be out of date, one or a list"
    )
    notes: v.Remarks = Field(default=(), description="anything else, kept as written")


GROUPS = ("electronics", "pneumatics", "lights", "sensors")
