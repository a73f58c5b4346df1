"""The form of a thing on the robot: a motor circuit, the battery, a block, anything else with a part."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field

from loomwright.model.fact import Fact
from loomwright.robotfile.forms import form_values as v
from loomwright.robotfile.forms.form_base import Form, named
from loomwright.robotfile.forms.leaves import Leaf, Row, as_written
from loomwright.wording import quoted


class PlacedForm(Form):
    """What may be said of anything on the robot."""

    present: v.YesNo = Field(default_factory=Fact, description="whether it is on the robot at all")
    at: v.PointFact = Field(default_factory=Fact, description="its place: to the right and forward from the corner")
    height: v.Height = Field(default_factory=Fact, description="its height above the base plate")
    facing: v.Facing = Field(default_factory=Fact, description="the edge of the robot that its front looks at")
    rides_on: v.Id = Field(
        default_factory=Fact, examples=["lift"], description="the moving thing or mechanism that carries it"
    )
    also_called: v.AlsoCalled = Field(default_factory=dict, description="other names, and where they are used")
    note: v.Text = Field(default="", description="anything else, kept as written")


class FedForm(PlacedForm):
    """What may be said of anything that gets power or a signal."""

    from_: v.Id = Field(default_factory=Fact, examples=["block", "regulator"], description="the id of what feeds it")
    slot: v.SlotName = Field(default_factory=Fact, description="the slot or output it is pinned to")
    feed: v.Group = Field(default_factory=Fact, description="the group of slots it belongs on: heavy, light, fused")
    over: v.Over = Field(default_factory=Fact, description="power by wires or over a network cable")
    protection: v.Current = Field(default_factory=Fact, description="the rating of its breaker or fuse")
    length: v.Length = Field(default_factory=Fact, description="the length of its supply wires, one way")
    signal_length: v.Length = Field(default_factory=Fact, description="that of its signal wires, where it has both")
    wire: v.GaugeFact = Field(default_factory=Fact, description="the gauge of its supply wires, where it is given")
    joint: v.Joint = Field(default_factory=Fact, description="how its own leads are joined to the branch wires")
    plus_colour: v.ColourFact = Field(default_factory=Fact, description="the colour of its plus wire, where it differs")
    minus_colour: v.ColourFact = Field(default_factory=Fact, description="the colour of its minus wire, the same")
    bundle: v.Count = Field(default_factory=Fact, description="how many wires lie together with its wires")
    drop: v.Share = Field(default_factory=Fact, description="the voltage drop allowed on its wires")
    draw: v.Current = Field(
        default_factory=Fact, examples=["1.2 A"], description="the current it takes, where it is known"
    )
    id: v.Number = Field(default_factory=Fact, description="its number on the data bus")
    bus: v.BusName = Field(default_factory=Fact, description="the data bus it is on, or `none`")
    maker: v.Maker = Field(default_factory=Fact, description="its group of makers, as a word of your own")
    on: v.Id = Field(
        default_factory=Fact, examples=["robot controller"], description="the device that its signal wire goes to"
    )
    port: v.Names = Field(default_factory=Fact, description="the port there: pulse 3, digital 2-3")


class ThingForm(FedForm):
    """What may be said of a device: a computer, a radio, a light, a valve, a sensor."""

    meaning = "a thing"
    first: ClassVar[Sequence[str]] = ("part", "from", "slot", "feed", "at", "length", "port", "bus")
    part: v.PartClass = Field(default_factory=Fact, description="its part class, such as computer/robot-controller")
    module: v.Id = Field(
        default_factory=Fact, examples=["air module"], description="the pneumatics module that drives it"
    )
    channels: v.Channels = Field(default_factory=Fact, description="its channels there, in their own order")
    jumper: v.YesNo = Field(default_factory=Fact, description="whether its jumper is set as its part says")
    shock_mounted: v.YesNo = Field(default_factory=Fact, description="whether it sits on foam or rubber")
    outputs_off_below: v.Voltage = Field(
        default_factory=Fact, description="the voltage at which it cuts its outputs off"
    )
    outputs_on_above: v.Voltage = Field(
        default_factory=Fact, examples=["7.5 V"], description="the voltage at which they come back"
    )


class LimitsForm(Form):
    """Current limits as set in the robot's code: supply side and motor side are two things."""

    meaning = "a pair of current limits"
    supply: v.LimitFact = Field(default_factory=Fact, description="the limit on the battery's side")
    motor: v.LimitFact = Field(default_factory=Fact, description="the limit on the motor's side")
    enabled: v.YesNo = Field(default_factory=Fact, description="whether the limits are switched on")

    @classmethod
    def instead(cls, raw: Leaf | Row) -> tuple[str, str]:
        """Ask for the side of a limit that was written as one amount."""
        if isinstance(raw, Row):
            supply, motor = map(as_written, raw[:2]) if len(raw) > 1 else ("40 A", "80 A")
            fix = f"Write `{{supply: {supply}, motor: {motor}}}`; look in the code which one is which."
            return "A list of limits does not say which one is on the battery's side.", fix
        what = f"{quoted(raw.text)} is one limit without its side: battery side and motor side are two things."
        return what, f"Write `{{supply: {raw.text}}}` or `{{motor: {raw.text}}}`; look in the code which one it is."


class MotorForm(FedForm):
    """A motor circuit: the motor, its controller, and what is set in the code."""

    meaning = "a motor"
    first: ClassVar[Sequence[str]] = ("motor", "controller", "slot", "id", "limit", "at", "length", "follows")
    motor: v.MotorClass = Field(default_factory=Fact, description="the motor's part class")
    controller: v.ControllerClass = Field(
        default_factory=Fact, description="the controller's part class, or `built in`"
    )
    motor_length: v.Length = Field(default_factory=Fact, description="the length of the wires from controller to motor")
    motor_wire: v.GaugeFact = Field(default_factory=Fact, description="the gauge of those wires, where it is given")
    limit: LimitsForm = Field(
        default_factory=LimitsForm.model_construct, description="its current limits, as set in the code"
    )
    ramp: v.RampFact = Field(
        default_factory=Fact, description="the time from nothing to full output, as set in the code"
    )
    follows: v.Id = Field(default_factory=Fact, description="the motor that it copies")
    reversed: v.YesNo = Field(default_factory=Fact, description="whether its direction is reversed in the code")


class DoesForm(Form):
    """What a mechanism does: its load, for the match study."""

    meaning = "what a mechanism does"
    kind: v.MechanismKind = Field(default_factory=Fact, description="drive side, lift, arm, roller, flywheel ...")
    mass: v.Mass = Field(
        default_factory=Fact, examples=["54 kg"], description="what it moves: the robot, for a drive or a climber"
    )
    carries: v.Mass = Field(default_factory=Fact, description="what a lift or an arm carries")
    wheel: v.Length = Field(default_factory=Fact, examples=["15 cm"], description="the diameter of its wheels")
    drum: v.Length = Field(default_factory=Fact, examples=["4 cm"], description="the diameter of its drum or pulley")
    gearing: v.Plain = Field(default_factory=Fact, description="motor turns for one turn of the output")
    travel: v.Length = Field(default_factory=Fact, examples=["90 cm"], description="how far a lift goes")
    arm_length: v.Length = Field(
        default_factory=Fact, examples=["60 cm"], description="from the arm's axis to its load"
    )
    turns: v.Angle = Field(default_factory=Fact, description="how far an arm turns")
    speed: v.Rotation = Field(default_factory=Fact, description="the speed of a flywheel")
    grip: v.Plain = Field(default_factory=Fact, examples=["1.1"], description="friction between wheels and floor")
    shots: v.Count = Field(default_factory=Fact, examples=["24"], description="shots in a match")
    cycles: v.Count = Field(default_factory=Fact, examples=["10"], description="uses in a match")
    note: v.Text = Field(default="", description="anything else, kept as written")


class MechanismForm(MotorForm):
    """Motors that do one thing; with one motor, its fields may stand here."""

    meaning = "a mechanism"
    first: ClassVar[Sequence[str]] = ("does", "motors", "motor", "controller", "parts")
    does: DoesForm = Field(default_factory=DoesForm.model_construct, description="its load, for the match study")
    motors: Annotated[dict[str, MotorForm], BeforeValidator(partial(named, "a motor: {motor: ...}"))] = Field(
        default_factory=dict, description="its motors by id, where it has more than one"
    )
    parts: Annotated[dict[str, MechanismForm], BeforeValidator(partial(named, "left side: {motors: ...}"))] = Field(
        default_factory=dict, description="sides or modules of one drive: mechanisms in a mechanism"
    )


class BatteryForm(PlacedForm):
    """The battery and its leads."""

    meaning = "the battery"
    first: ClassVar[Sequence[str]] = (
        "part",
        "leads",
        "lead length",
        "plug",
        "strapped",
        "posts insulated",
        "lock nuts",
    )
    part: v.PartClass = Field(default_factory=Fact, examples=["battery/agm-12v-18ah"], description="its part class")
    leads: v.GaugeFact = Field(default_factory=Fact, examples=["6 AWG"], description="the gauge of the battery's wires")
    lead_length: v.Length = Field(default_factory=Fact, examples=["25 cm"], description="their length, one way")
    plug: v.PlugClass = Field(default_factory=Fact, description="the part class of its quick-disconnect, or `none`")
    strapped: v.YesNo = Field(default_factory=Fact, description="whether it is strapped down")
    posts_insulated: v.YesNo = Field(default_factory=Fact, description="whether both posts are covered")
    lock_nuts: v.YesNo = Field(default_factory=Fact, description="whether its lugs are held by lock nuts or washers")


class MainBreakerForm(PlacedForm):
    """The main breaker, and what people can see of it."""

    meaning = "the main breaker"
    first: ClassVar[Sequence[str]] = ("part", "lead length", "at", "reachable", "guarded", "nuts visible")
    part: v.PartClass = Field(default_factory=Fact, examples=["breaker/main-120a"], description="its part class")
    leads: v.GaugeFact = Field(
        default_factory=Fact, examples=["6 AWG"], description="the gauge of the wire that comes to it from the plug"
    )
    lead_length: v.Length = Field(default_factory=Fact, examples=["20 cm"], description="the length of that wire")
    reachable: v.YesNo = Field(default_factory=Fact, description="whether a hand gets to it from outside")
    guarded: v.YesNo = Field(default_factory=Fact, description="whether its button can't be bumped off")
    nuts_visible: v.YesNo = Field(default_factory=Fact, description="whether both nuts can be seen as it is")


class BlockForm(FedForm):
    """A distribution block, or a sub-block fed from a slot."""

    meaning = "a block"
    first: ClassVar[Sequence[str]] = ("part", "from", "at", "facing", "lead length", "labels", "reserved", "slot")
    part: v.PartClass = Field(
        default_factory=Fact, examples=["block/6-heavy-10-light-2-fused"], description="its part class"
    )
    leads: v.GaugeFact = Field(
        default_factory=Fact, examples=["6 AWG"], description="the gauge of the wires that feed it"
    )
    lead_length: v.Length = Field(default_factory=Fact, examples=["20 cm"], description="their length, one way")
    wires_tied: v.YesNo = Field(default_factory=Fact, description="whether its wires are tied down near their ends")
    labels: Annotated[dict[str, v.Words], BeforeValidator(partial(named, "H3: lift"))] = Field(
        default_factory=dict, description="labels as written on the block, by slot; a label pins nothing"
    )
    reserved: Annotated[dict[str, v.Words], BeforeValidator(partial(named, "L9: spare"))] = Field(
        default_factory=dict, description="slots kept free, and what for"
    )
