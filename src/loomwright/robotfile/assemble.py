"""From the filled-in form to the robot: parts looked up, circuits' devices named, references checked."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from loomwright.model.device import BusKey, Device, Feed, Hookup, Limits, Spot, Wishes
from loomwright.model.fact import Fact, Saying
from loomwright.model.part import Role
from loomwright.model.robot import Mechanism
from loomwright.robotfile.forms.form import GROUPS
from loomwright.robotfile.forms.form_things import FedForm, MotorForm, ThingForm
from loomwright.robotfile.forms.leaves import inherited
from loomwright.robotfile.parts.part_names import NO_THING
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.model.part import Part
    from loomwright.robotfile.forms.form import RobotForm
    from loomwright.robotfile.forms.form_things import BlockForm, DoesForm, MechanismForm, PlacedForm
    from loomwright.robotfile.forms.leaves import Branch, Faults
    from loomwright.robotfile.parts.part_names import PartNames

DEFAULT_PLUG = "plug/battery-quick-disconnect"
_SETTINGS = ("outputs off below", "outputs on above")
_RESERVED = ("main",)
_MOTOR_FACTS = ("motor", "controller")
_GROUP_FACTS = ("does", "motors", "parts", "note")
_LONGEST_ID = 60
_SHOWN_PARTS = 4


@dataclass(slots=True)
class Assembly:
    """Devices and mechanisms as they are collected from the form."""

    parts: PartNames
    faults: Faults
    devices: list[Device] = field(default_factory=list)
    mechanisms: list[Mechanism] = field(default_factory=list)
    heads: dict[str, Mark] = field(default_factory=dict)

    def collect(self, form: RobotForm) -> None:
        """Go through the form from the battery outwards."""
        self._battery(form)
        self._main_breaker(form)
        for name, block in form.blocks.items():
            self._block(name, block)
        for name, mechanism in form.mechanisms.items():
            self._mechanism(name, mechanism, part_of="")
        for group in GROUPS:
            for name, thing in getattr(form, group).items():
                self._thing(name, thing)
        self._refuse_twins()

    def _battery(self, form: RobotForm) -> None:
        battery = form.battery
        if battery is None:
            return
        checks = {
            "strapped": battery.strapped,
            "posts insulated": battery.posts_insulated,
            "lock nuts": battery.lock_nuts,
        }
        wishes = Wishes(gauge=battery.leads, length=battery.lead_length)
        self._add(
            "battery",
            battery,
            self.parts.part(battery.part, "battery/any", "battery.part", kind="battery"),
            said=battery.part,
            checks=checks,
            wishes=wishes,
        )
        if battery.plug.value == "none" or battery.plug.saying is Saying.NONE_FOUND:
            return
        plug = Fact.of(DEFAULT_PLUG) if battery.plug.open_to_decide else battery.plug
        branch: Branch = battery.branch
        part = self.parts.part(plug, DEFAULT_PLUG, f"{branch.path}.plug", kind="plug")
        self.devices.append(
            Device("battery plug", part, plug, plug.mark or branch.mark, f"{branch.path}.plug", called="battery plug")
        )

    def _main_breaker(self, form: RobotForm) -> None:
        breaker = form.main_breaker
        if breaker is None:
            return
        checks = {
            "reachable": breaker.reachable,
            "guarded": breaker.guarded,
            "nuts visible": breaker.nuts_visible,
        }
        wishes = Wishes(gauge=breaker.leads, length=breaker.lead_length)
        self._add(
            "main breaker",
            breaker,
            self.parts.part(breaker.part, "breaker/any-main", "main breaker.part", kind="breaker"),
            said=breaker.part,
            checks=checks,
            wishes=wishes,
        )

    def _block(self, name: str, block: BlockForm) -> None:
        part = self.parts.part(block.part, "block/any", f"{block.branch.path}.part", kind="block")
        wishes = _wishes(block)
        for key, twin in (("leads", "wire"), ("lead length", "length")):
            if key in block.branch and twin in block.branch:
                self.faults.add(
                    "said-twice", None, f"`{key}` and `{twin}` of a block are the same.", "Keep one of the two.",
                    mark=block.branch.key_marks[twin], path=f"{block.branch.path}.{twin}",
                )  # fmt: skip
        wishes = replace(
            wishes,
            gauge=block.leads if "leads" in block.branch else wishes.gauge,
            length=block.lead_length if "lead length" in block.branch else wishes.length,
        )
        checks = {"wires tied": block.wires_tied}
        self._add(
            name,
            block,
            part,
            said=block.part,
            checks=checks,
            wishes=wishes,
            labels=block.labels,
            reserved=block.reserved,
        )
        outlets = [socket.name for socket in part.with_role(Role.OUTLET)]
        for kind in ("labels", "reserved") if not part.family else ():
            slots: Branch = block.branch.get(kind, block.branch)
            for slot in getattr(block, kind):
                if slot not in outlets:
                    close = nearest(slot, outlets)
                    shown = close or outlets
                    self.faults.add(
                        "no-such-slot",
                        None,
                        f"{name} has no slot {quoted(slot)}.",
                        f"Did you mean {listed([f'`{word}`' for word in close])}?"
                        if close
                        else f"Its slots are {listed(shown, 'and')}.",
                        mark=slots.key_marks.get(slot, slots.mark),
                        path=f"{slots.path}.{slot}",
                    )

    def _mechanism(self, name: str, form: MechanismForm, *, part_of: str) -> None:
        branch: Branch = form.branch
        self.mechanisms.append(
            Mechanism(name, form.does.kind, dict(_quantities(form.does)), branch.mark, branch.path, part_of, form.note)
        )
        self._look_at_id(name, branch)
        allowed = type(form).keys()
        own = [key for key in branch if key in allowed and key not in _GROUP_FACTS and not inherited(branch[key])]
        if not form.motors and not form.parts and any(key in branch for key in _MOTOR_FACTS):
            self._motor(name, form, mechanism=name)
        elif not form.motors and not form.parts:
            self.faults.add(
                "no-motor",
                branch,
                f"{name} has no motor.",
                "Write `motor: ...` here, or `motors: {name: {motor: ...}}`.",
            )
        elif own:
            group = "motors" if form.motors else "parts"
            self.faults.add(
                "motor-in-two-forms",
                None,
                f"{name} has {_told(own)} of its own and `{group}` too, so it is not clear which motor is meant.",
                f"Write it at each of its `{group}`; what holds for all motors goes under `every motor`.",
                mark=branch.key_marks[own[0]],
                path=f"{branch.path}.{own[0]}",
            )
        for motor_name, motor in form.motors.items():
            self._motor(motor_name, motor, mechanism=name)
        for part_name, part in form.parts.items():
            self._mechanism(part_name, part, part_of=name)

    def _motor(self, name: str, form: MotorForm, *, mechanism: str) -> None:
        branch: Branch = form.branch
        motor = self.parts.part(form.motor, "motor/any", f"{branch.path}.motor", kind="motor")
        has_controller = motor.first(Role.SUPPLY) is not None
        said = form.controller.value
        if said is not None and said != "built in" and has_controller:
            self.faults.add(
                "controller-built-in",
                None,
                f"{name}: {motor.id} has its controller built in, and {quoted(said)} is named too.",
                "Write `controller: built in`, or name another motor class.",
                mark=form.controller.mark,
                path=f"{branch.path}.controller",
            )
        if said == "built in" or (form.controller.open_to_decide and has_controller):
            if not has_controller and not motor.family:
                self.faults.add(
                    "no-built-in-controller",
                    None,
                    f"{name}: {motor.id} has no controller built in.",
                    "Name its controller, such as `controller: controller/inline-40a`.",
                    mark=form.controller.mark,
                    path=f"{branch.path}.controller",
                )
            self._add(name, form, motor, said=form.motor, mechanism=mechanism)
            return
        controller = self.parts.part(form.controller, "controller/any", f"{branch.path}.controller", kind="controller")
        controller_id = f"{name} controller"
        self._add(controller_id, form, controller, said=form.controller, mechanism=mechanism, called=name)
        self.devices.append(
            Device(
                name,
                motor,
                form.motor,
                branch.mark,
                branch.path,
                called=name,
                mechanism=mechanism,
                driven_by=controller_id,
                present=form.present,
                wishes=Wishes(length=form.motor_length, gauge=form.motor_wire),
                spot=Spot(rides_on=form.rides_on),
            )
        )

    def _thing(self, name: str, form: ThingForm) -> None:
        path = f"{form.branch.path}.part"
        part = self.parts.part(form.part, "device/any", path, refused=NO_THING)
        self._add(name, form, part, said=form.part, checks={"jumper": form.jumper, "shock mounted": form.shock_mounted})

    def _add(
        self,
        device_id: str,
        form: PlacedForm,
        part: Part,
        *,
        said: Fact[str],
        called: str = "",
        mechanism: str = "",
        checks: dict[str, Fact[bool]] | None = None,
        wishes: Wishes | None = None,
        labels: dict[str, Fact[str]] | None = None,
        reserved: dict[str, Fact[str]] | None = None,
    ) -> None:
        branch: Branch = form.branch
        fed = form if isinstance(form, FedForm) else None
        motor = form if isinstance(form, MotorForm) else None
        thing = form if isinstance(form, ThingForm) else None
        self._look_at_id(called or device_id, branch)
        self.devices.append(
            Device(
                device_id,
                part,
                said,
                branch.mark,
                branch.path,
                called=called or device_id,
                mechanism=mechanism,
                follows=motor.follows if motor else Fact(),
                present=form.present,
                feed=Feed(fed.from_, fed.slot, fed.feed, fed.over) if fed else Feed(),
                limits=Limits(motor.limit.supply, motor.limit.motor, motor.limit.enabled) if motor else Limits(),
                ramp=motor.ramp if motor else Fact(),
                reversed=motor.reversed if motor else Fact(),
                key=BusKey(_no_bus(fed.bus), fed.maker, fed.id) if fed else BusKey(),
                hookup=Hookup(fed.on, fed.port) if fed else Hookup(),
                module=thing.module if thing else Fact(),
                channels=thing.channels if thing else Fact(),
                spot=Spot(form.at, form.height, form.facing, form.rides_on),
                wishes=wishes or (_wishes(fed) if fed else Wishes()),
                draw=fed.draw if fed else Fact(),
                settings=dict(_settings(thing)) if thing else {},
                checks=checks or {},
                labels=labels or {},
                reserved=reserved or {},
                also_called=form.also_called,
                note=form.note,
            )
        )

    def _look_at_id(self, name: str, branch: Branch) -> None:
        """Note ids that could not be written on a flag, or not be named again."""
        what = ""
        if len(name) > _LONGEST_ID:
            what = f"This id has {len(name)} characters, and a label has room for {_LONGEST_ID}."
        elif name != " ".join(name.split()) or not name.isprintable():
            what = f"The id {quoted(name)} has spaces or signs in it that nobody sees."
        if what:
            fix = "Write it short, with single spaces."
            self.faults.add("bad-id", None, what, fix, mark=branch.head, path=branch.path)
        self.heads[branch.path] = branch.head

    def _refuse_twins(self) -> None:
        first: dict[str, Device] = {}
        for device in self.devices:
            if device.id in _RESERVED:
                what = f"{quoted(device.id)} is the name of the battery path, so nothing else can be called that."
                at = self._place(device)
                self.faults.add("reserved-id", None, what, "Give it another id.", mark=at, path=device.path)
            twin = first.setdefault(device.id, device)
            if twin is not device:
                self._refuse_twin(*sorted((twin, device), key=self._place))

    def _refuse_twin(self, first: Device, second: Device) -> None:
        what = f"Two things are called {quoted(first.id)}; the other one is in line {self._place(first).line}."
        if first.called != second.called:
            what += " A motor's controller is called after its motor."
        fix = "Give one of them another id."
        self.faults.add("id-used-twice", None, what, fix, mark=self._place(second), path=second.path)

    def _place(self, device: Device) -> Mark:
        return self.heads.get(device.path, device.mark)


def _settings(form: ThingForm) -> Iterator[tuple[str, Fact[float]]]:
    for name in _SETTINGS:
        fact: Fact[float] = getattr(form, name.replace(" ", "_"))
        if not fact.open_to_decide:
            yield name, fact


def _wishes(form: FedForm) -> Wishes:
    return Wishes(
        gauge=form.wire,
        protection=form.protection,
        length=form.length,
        motor_length=form.motor_length if isinstance(form, MotorForm) else Fact(),
        signal_length=form.signal_length,
        joint=form.joint,
        plus_colour=form.plus_colour,
        minus_colour=form.minus_colour,
        bundle=form.bundle,
        drop=form.drop,
    )


def _quantities(does: DoesForm) -> Iterator[tuple[str, Fact[float]]]:
    for name in type(does).model_fields:
        fact = getattr(does, name)
        if isinstance(fact, Fact) and name != "kind" and not fact.open_to_decide:
            yield name.replace("_", " "), fact


def _no_bus(bus: Fact[str]) -> Fact[str]:
    """Take `bus: none` for no bus at all: it lifts a default from a motor that is driven by pulses."""
    return Fact() if bus.value == "none" else bus


def _told(keys: list[str]) -> str:
    return listed([f"`{key}`" for key in keys[:_SHOWN_PARTS]], "and")
