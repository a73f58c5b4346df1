"""The form of robot.yaml: what may be written where. The JSON Schema comes from the same classes."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from loomwright.model.device import Limit
from loomwright.model.fact import Fact
from loomwright.robotfile import readers as r
from loomwright.robotfile.facts import FactOf
from loomwright.robotfile.form_base import Form, id_list_of, line_of, list_as, text_of
from loomwright.robotfile.leaves import Leaf, Row
from loomwright.units import Dimension, Gauge
from loomwright.wiring.treat import joints
from loomwright.wording import quoted

Words = Annotated[Fact[str], FactOf(r.word("a short text"))]
YesNo = Annotated[Fact[bool], FactOf(r.YES_NO)]
GaugeFact = Annotated[Fact[Gauge], FactOf(r.GAUGE)]
ColourFact = Annotated[Fact[str], FactOf(r.COLOUR)]
Length = Annotated[Fact[float], FactOf(r.positive(Dimension.LENGTH, "85 cm", "34 in"))]
Height = Annotated[Fact[float], FactOf(r.quantity(Dimension.LENGTH, "30 cm", signed=True))]
Current = Annotated[Fact[float], FactOf(r.positive(Dimension.CURRENT, "40 A"))]
Voltage = Annotated[Fact[float], FactOf(r.positive(Dimension.VOLTAGE, "6.8 V"))]
Share = Annotated[Fact[float], FactOf(r.positive(Dimension.RATIO, "5 %"))]
Temperature = Annotated[Fact[float], FactOf(r.quantity(Dimension.TEMPERATURE, "30 C"))]
Count = Annotated[Fact[int], FactOf(r.whole(least=1, examples=(8,)))]
Number = Annotated[Fact[int], FactOf(r.whole(examples=(7,)))]
LimitFact = Annotated[Fact[Limit], FactOf(r.LIMIT)]
PointFact = Annotated[Fact[tuple[float, float]], FactOf(r.POINT)]
RampFact = Annotated[Fact[tuple[float, float]], FactOf(r.RAMP)]
Names = Annotated[Fact[tuple[str, ...]], FactOf(r.NAMES)]
Channels = Annotated[Fact[tuple[int, ...]], FactOf(r.CHANNELS)]
Ids = Annotated[Fact[tuple[str, ...]], FactOf(r.IDS)]
Facing = Annotated[Fact[str], FactOf(r.choice("an edge", "left", "right", "front", "back", "up", "down"))]
Joint = Annotated[Fact[str], FactOf(r.choice("a joint", "none", *joints()))]
Text = Annotated[str, BeforeValidator(text_of)]
IdList = Annotated[tuple[str, ...], BeforeValidator(id_list_of)]
Line = Annotated[tuple[tuple[float, float], ...], BeforeValidator(line_of)]


class LimitsForm(Form):
    """Current limits as set in the robot's code: supply side and motor side are two things."""

    meaning = "a pair of current limits"
    supply: LimitFact = Field(default_factory=Fact, description="limit on the battery side")
    motor: LimitFact = Field(default_factory=Fact, description="limit on the motor side")
    enabled: YesNo = Field(default_factory=Fact, description="whether the limits are switched on")

    @classmethod
    def instead(cls, raw: Leaf | Row) -> tuple[str, str]:
        """Ask for the side of a limit that was written as one amount."""
        amount = raw.text if isinstance(raw, Leaf) else "40 A"
        what = f"{quoted(amount)} is one limit without its side: battery side and motor side are two things."
        return what, f"Write `{{supply: {amount}}}` or `{{motor: {amount}}}`."


class ThingForm(Form):
    """What may be said of anything on the robot."""

    meaning = "a thing"
    part: Words = Field(default_factory=Fact, description="part class, such as computer/robot-controller")
    present: YesNo = Field(default_factory=Fact, description="whether it is on the robot")
    at: PointFact = Field(default_factory=Fact, description="place on the plate: right, forward")
    height: Height = Field(default_factory=Fact, description="height above the plate")
    facing: Facing = Field(default_factory=Fact, description="the edge of the robot its terminals face")
    rides_on: Words = Field(default_factory=Fact, description="the moving thing it is carried by")
    length: Length = Field(default_factory=Fact, description="length of its supply wires, one way")
    from_: Words = Field(default_factory=Fact, description="id of what feeds it")
    slot: Words = Field(default_factory=Fact, description="the slot or output it is pinned to")
    feed: Annotated[Fact[str], FactOf(r.word("a group of slots", "heavy", "light", "fused"))] = Field(
        default_factory=Fact, description="the group of slots it belongs on: heavy, light, fused"
    )
    over: Annotated[Fact[str], FactOf(r.choice("a way of feeding", "wires", "network cable"))] = Field(
        default_factory=Fact, description="power by wires or over a network cable"
    )
    protection: Current = Field(default_factory=Fact, description="rating of its breaker or fuse")
    wire: GaugeFact = Field(default_factory=Fact, description="gauge of its supply wires, where it differs")
    joint: Joint = Field(default_factory=Fact, description="how its own leads are joined to the branch wires")
    plus_colour: ColourFact = Field(default_factory=Fact)
    minus_colour: ColourFact = Field(default_factory=Fact)
    bundle: Count = Field(default_factory=Fact, description="how many wires lie together with its wires")
    drop: Share = Field(default_factory=Fact, description="allowed voltage drop")
    draw: Current = Field(default_factory=Fact, description="current it takes, where known")
    id: Number = Field(default_factory=Fact, description="its number on the data bus")
    bus: Words = Field(default_factory=Fact, description="the data bus it is on")
    maker: Words = Field(default_factory=Fact, description="group of makers, as a word of your own")
    on: Words = Field(default_factory=Fact, description="the device its signal goes to")
    port: Names = Field(default_factory=Fact, description="the port there: pulse 3, digital 2-3")
    module: Words = Field(default_factory=Fact, description="the pneumatics module that drives it")
    channels: Channels = Field(default_factory=Fact, description="its channels there, in their own order")
    limit: LimitsForm = Field(default_factory=LimitsForm.model_construct)
    ramp: RampFact = Field(default_factory=Fact, description="time from nothing to full output")
    follows: Words = Field(default_factory=Fact, description="the motor it copies")
    jumper: YesNo = Field(default_factory=Fact, description="whether its jumper is set as its part says")
    also_called: dict[str, Text] | Text = Field(default="", description="other names and where they are used")
    outputs_off_below: Voltage = Field(default_factory=Fact)
    outputs_on_above: Voltage = Field(default_factory=Fact)
    note: Text = ""


class MotorForm(ThingForm):
    """A motor circuit: the motor, its controller, and what is set in the code."""

    meaning = "a motor"
    motor: Words = Field(default_factory=Fact, description="motor class")
    controller: Words = Field(default_factory=Fact, description="controller class, or `built in`")
    motor_length: Length = Field(default_factory=Fact, description="length of the wires from controller to motor")
    motor_wire: GaugeFact = Field(default_factory=Fact)
    reversed: YesNo = Field(default_factory=Fact, description="whether its direction is reversed in the code")


class DoesForm(Form):
    """What a mechanism does: its load, for the match study."""

    meaning = "what a mechanism does"
    kind: Annotated[
        Fact[str],
        FactOf(
            r.choice(
                "a kind of mechanism",
                *("drive", "drive side", "steered module", "steering", "lift", "arm", "roller", "flywheel", "climber"),
                *("compressor", "other"),
            )
        ),
    ] = Field(default_factory=Fact)
    mass: Annotated[Fact[float], FactOf(r.positive(Dimension.MASS, "54 kg"))] = Field(default_factory=Fact)
    carries: Annotated[Fact[float], FactOf(r.positive(Dimension.MASS, "6 kg"))] = Field(default_factory=Fact)
    wheel: Length = Field(default_factory=Fact, description="wheel diameter")
    drum: Length = Field(default_factory=Fact, description="drum or pulley diameter")
    gearing: Annotated[Fact[float], FactOf(r.positive(Dimension.NUMBER, "8.5"))] = Field(default_factory=Fact)
    travel: Length = Field(default_factory=Fact)
    arm_length: Length = Field(default_factory=Fact)
    turns: Annotated[Fact[float], FactOf(r.positive(Dimension.ANGLE, "120 deg"))] = Field(default_factory=Fact)
    speed: Annotated[Fact[float], FactOf(r.positive(Dimension.ROTATION, "4000 rpm"))] = Field(default_factory=Fact)
    grip: Annotated[Fact[float], FactOf(r.positive(Dimension.NUMBER, "1.1"))] = Field(default_factory=Fact)
    shots: Count = Field(default_factory=Fact, description="shots in a match")
    cycles: Count = Field(default_factory=Fact, description="uses in a match")
    note: Text = ""


class MechanismForm(MotorForm):
    """Motors that do one thing; with one motor, its fields may stand here."""

    meaning = "a mechanism"
    does: DoesForm = Field(default_factory=DoesForm.model_construct)
    motors: dict[str, MotorForm] = Field(default_factory=dict)
    parts: dict[str, MechanismForm] = Field(default_factory=dict, description="sides or modules of one drive")


class BatteryForm(ThingForm):
    """The battery and its leads."""

    meaning = "the battery"
    leads: GaugeFact = Field(default_factory=Fact)
    lead_length: Length = Field(default_factory=Fact)
    plug: Words = Field(default_factory=Fact, description="part class of the quick-disconnect, or `none`")
    strapped: YesNo = Field(default_factory=Fact)
    posts_insulated: YesNo = Field(default_factory=Fact)
    lock_nuts: YesNo = Field(default_factory=Fact)


class MainBreakerForm(ThingForm):
    """The main breaker, and what people can see of it."""

    meaning = "the main breaker"
    leads: GaugeFact = Field(default_factory=Fact)
    lead_length: Length = Field(default_factory=Fact)
    reachable: YesNo = Field(default_factory=Fact)
    guarded: YesNo = Field(default_factory=Fact, description="whether the button can't be bumped")
    nuts_visible: YesNo = Field(default_factory=Fact, description="whether its nuts can be seen as it is")


class BlockForm(ThingForm):
    """A distribution block, or a sub-block fed from a slot."""

    meaning = "a block"
    leads: GaugeFact = Field(default_factory=Fact)
    lead_length: Length = Field(default_factory=Fact)
    labels: dict[str, Words] = Field(default_factory=dict, description="labels as written on the block, by slot")
    reserved: dict[str, Words] = Field(default_factory=dict, description="slots kept free, and what for")


class BusForm(Form):
    """A data bus or a network."""

    meaning = "a data bus"
    kind: Annotated[Fact[str], FactOf(r.choice("a kind of data line", "bus", "network"))] = Field(default_factory=Fact)
    order: Ids = Field(default_factory=Fact, description="the chain in its order, or `unknown`")
    devices: IdList = Field(default=(), description="who is on it, where the order is not known")
    terminators: Ids = Field(default_factory=Fact, description="the devices whose terminator is on")
    links: tuple[IdList, ...] = Field(default=(), description="network cables, each between two devices")
    note: Text = ""


class TrunkForm(Form):
    """A shared route across the plate."""

    meaning = "a trunk"
    along: Line = Field(default=(), json_schema_extra=r.array(r.POINT.schema))
    moving: YesNo = Field(default_factory=Fact)
    sharp_edge: YesNo = Field(default_factory=Fact)
    near_swarf: YesNo = Field(default_factory=Fact)
    signal_only: YesNo = Field(default_factory=Fact)
    note: Text = ""


class PlateForm(Form):
    """The robot's base plate, seen from above; the origin is its left rear corner."""

    meaning = "the plate"
    outline: Line = Field(default=(), json_schema_extra=r.array(r.POINT.schema))
    trunks: dict[str, Annotated[TrunkForm, BeforeValidator(partial(list_as, "along"))]] = Field(default_factory=dict)
    keep_outs: dict[str, Line] = Field(default_factory=dict)
    note: Text = ""


class WiresForm(Form):
    """What holds for every wire unless a thing says otherwise."""

    meaning = "`wires`"
    supply: Voltage = Field(default_factory=Fact, description="voltage the drop is a share of, 12 V")
    drop: Share = Field(default_factory=Fact, description="allowed drop, 5 %")
    ambient: Temperature = Field(default_factory=Fact, description="warmest air around the wires, 30 C")
    insulation: Temperature = Field(default_factory=Fact, description="what the insulation stands, 105 C")
    conductor_temperature: Temperature = Field(default_factory=Fact, description="copper temperature for the drop")
    bundle: Count = Field(default_factory=Fact, description="wires that lie together")
    loading: Share = Field(default_factory=Fact, description="how loaded such a bundle is as a whole")
    planning_current: Current = Field(default_factory=Fact, description="current the whole robot is planned for")


class BuildForm(Form):
    """One build of the design: what it leaves out, changes and adds."""

    meaning = "a build"
    without: IdList = ()
    change: dict[str, Any] = Field(default_factory=dict, description="by id: the facts that differ")
    add: dict[str, Any] = Field(default_factory=dict, description="groups of the file with more things")
    differs: Words = Field(default_factory=Fact, description="`unknown`, where nobody wrote down how")
    note: Text = ""


class SwapForm(Form):
    """Things of which one statement may be swapped."""

    meaning = "`maybe swapped`"
    which: IdList = ()
    in_: Text = ""


class RobotForm(Form):
    """The whole file."""

    meaning = "the robot file"
    robot: Text = Field(description="the robot's name")
    rules: Text = Field(default="common-practice", description="the rule book the robot is judged by")
    unsaid: Annotated[Fact[str], FactOf(r.choice("a way to treat what is not said", "decide", "ask"))] = Field(
        default_factory=Fact, description="`ask` for a robot that exists: absent means ask, not decide"
    )
    battery: BatteryForm | None = None
    main_breaker: MainBreakerForm | None = None
    blocks: dict[str, BlockForm] = Field(default_factory=dict)
    mechanisms: dict[str, MechanismForm] = Field(default_factory=dict)
    electronics: dict[str, ThingForm] = Field(default_factory=dict)
    pneumatics: dict[str, ThingForm] = Field(default_factory=dict)
    lights: dict[str, ThingForm] = Field(default_factory=dict)
    sensors: dict[str, ThingForm] = Field(default_factory=dict)
    data: dict[str, Annotated[BusForm, BeforeValidator(partial(list_as, "order"))]] = Field(default_factory=dict)
    plate: PlateForm = Field(default_factory=PlateForm.model_construct)
    wires: WiresForm = Field(default_factory=WiresForm.model_construct)
    every_motor: MotorForm | None = Field(default=None, description="what holds for every motor that does not differ")
    builds: dict[str, BuildForm] = Field(default_factory=dict)
    conventions: dict[str, Text] = Field(default_factory=dict, description="rules the team keeps by itself")
    maybe_swapped: SwapForm | tuple[SwapForm, ...] | None = None
    removed: dict[str, Text] | tuple[Text, ...] = Field(default=(), description="things no longer on the robot")
    stale: tuple[dict[str, Text], ...] = Field(default=(), description="remarks known to be out of date")
    notes: dict[str, Text] | tuple[Text, ...] | Text = ""


GROUPS = ("electronics", "pneumatics", "lights", "sensors")
