"""From the filled-in form to the robot: parts looked up, circuits' devices named, references checked."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.findings import UnreadableInputError
from loomwright.model.device import BusKey, Device, Feed, Hookup, Limits, Spot, Wishes
from loomwright.model.fact import Fact, Saying
from loomwright.model.robot import Mechanism
from loomwright.robotfile.form import GROUPS
from loomwright.wording import listed, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.part import Part
    from loomwright.robotfile.form import BlockForm, DoesForm, MechanismForm, MotorForm, RobotForm, ThingForm
    from loomwright.robotfile.leaves import Branch, Faults
    from loomwright.robotfile.library import Library

DEFAULT_PLUG = "plug/battery-quick-disconnect"
_SETTINGS = ("outputs off below", "outputs on above")
_RESERVED = ("main",)
_MOTOR_FACTS = ("motor", "controller")


@dataclass(slots=True)
class Assembly:
    """Devices and mechanisms as they are collected from the form."""

    library: Library
    faults: Faults
    devices: list[Device] = field(default_factory=list)
    mechanisms: list[Mechanism] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)

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

    def part(self, said: Fact[str], fallback: str, path: str) -> Part:
        """Look up a part class; an unknown name is a fault, anything not settled is the family."""
        for claim in said.said:
            if self._look_up(claim.value) is None and claim.value not in self.broken:
                close = self.library.nearest(claim.value)
                hint = f"Did you mean {listed([f'`{name}`' for name in close])}?" if close else "See docs/parts.md."
                self.faults.add(
                    "unknown-part",
                    None,
                    f"There is no part {quoted(claim.value)}, neither shipped nor in this robot's parts folder.",
                    hint,
                    mark=said.mark,
                    path=path,
                )
        found = self._look_up(said.value) if said.value is not None else None
        family = self.library.part(fallback)
        assert family is not None  # noqa: S101  the shipped catalogue has every family; a test holds it
        return found or family

    def _look_up(self, part_id: str) -> Part | None:
        """Return a part; the faults of a broken part file join those of the robot file, once."""
        try:
            return self.library.part(part_id)
        except UnreadableInputError as error:
            if part_id not in self.broken:
                self.broken.add(part_id)
                self.faults.found += error.faults
            return None

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
            "battery", battery, self.part(battery.part, "battery/any", "battery.part"), checks=checks, wishes=wishes
        )
        if battery.plug.value == "none" or battery.plug.saying is Saying.NONE_FOUND:
            return
        plug = battery.plug if battery.plug.said else Fact.of(DEFAULT_PLUG)
        branch: Branch = battery.branch
        part = self.part(plug, DEFAULT_PLUG, f"{branch.path}.plug")
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
            self.part(breaker.part, "breaker/any-main", "main breaker.part"),
            checks=checks,
            wishes=wishes,
        )

    def _block(self, name: str, block: BlockForm) -> None:
        part = self.part(block.part, "block/any", f"{block.branch.path}.part")
        wishes = _wishes(block)
        if block.leads.said or block.lead_length.said:
            wishes = Wishes(gauge=block.leads, length=block.lead_length)
        self._add(name, block, part, wishes=wishes, labels=block.labels, reserved=block.reserved)
        for kind, slots in (("labels", block.labels), ("reserved", block.reserved)):
            for slot, fact in slots.items():
                if part.socket(slot) is None and not part.family:
                    self.faults.add(
                        "no-such-slot",
                        None,
                        f"{name} has no slot {quoted(slot)}.",
                        f"Its slots are {listed([s.name for s in part.sockets if s.ratings_a], 'and')}.",
                        mark=fact.mark,
                        path=f"{block.branch.path}.{kind}.{slot}",
                    )

    def _mechanism(self, name: str, form: MechanismForm, *, part_of: str) -> None:
        branch: Branch = form.branch
        self.mechanisms.append(
            Mechanism(name, form.does.kind, dict(_quantities(form.does)), branch.mark, branch.path, part_of, form.note)
        )
        if any(key in branch for key in _MOTOR_FACTS):
            if form.motors:
                self.faults.add(
                    "motor-in-two-forms",
                    branch,
                    f"{name} names a motor of its own and has `motors` too.",
                    "Put every motor under `motors`.",
                )
            self._motor(name, form, mechanism=name)
        elif not form.motors and not form.parts:
            self.faults.add(
                "no-motor",
                branch,
                f"{name} has no motor.",
                "Write `motor: ...` here, or `motors: {name: {motor: ...}}`.",
            )
        for motor_name, motor in form.motors.items():
            self._motor(motor_name, motor, mechanism=name)
        for part_name, part in form.parts.items():
            self._mechanism(part_name, part, part_of=name)

    def _motor(self, name: str, form: MotorForm, *, mechanism: str) -> None:
        from loomwright.model.part import Role  # noqa: PLC0415  keeps the import list to what annotations need

        motor = self.part(form.motor, "motor/any", f"{form.branch.path}.motor")
        built_in = form.controller.value == "built in" or (
            form.controller.open_to_decide and motor.first(Role.SUPPLY) is not None
        )
        if built_in:
            if motor.first(Role.SUPPLY) is None and not motor.family:
                self.faults.add(
                    "no-built-in-controller",
                    None,
                    f"{name}: {motor.id} has no controller built in.",
                    "Name its controller, such as `controller: controller/inline-40a`.",
                    mark=form.controller.mark,
                    path=f"{form.branch.path}.controller",
                )
            self._add(name, form, motor, said=form.motor, mechanism=mechanism, reversed_=form.reversed)
            return
        controller = self.part(form.controller, "controller/any", f"{form.branch.path}.controller")
        controller_id = f"{name} controller"
        self._add(
            controller_id,
            form,
            controller,
            said=form.controller,
            mechanism=mechanism,
            called=name,
            reversed_=form.reversed,
        )
        branch: Branch = form.branch
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
        part = self.part(form.part, "device/any", f"{form.branch.path}.part")
        self._add(name, form, part, checks={"jumper": form.jumper})

    def _add(
        self,
        device_id: str,
        form: ThingForm,
        part: Part,
        *,
        said: Fact[str] | None = None,
        called: str = "",
        mechanism: str = "",
        checks: dict[str, Fact[bool]] | None = None,
        wishes: Wishes | None = None,
        labels: dict[str, Fact[str]] | None = None,
        reserved: dict[str, Fact[str]] | None = None,
        reversed_: Fact[bool] | None = None,
    ) -> None:
        branch: Branch = form.branch
        also = form.also_called
        self.devices.append(
            Device(
                device_id,
                part,
                said if said is not None else form.part,
                branch.mark,
                branch.path,
                called=called or device_id,
                mechanism=mechanism,
                follows=form.follows,
                present=form.present,
                feed=Feed(form.from_, form.slot, form.feed, form.over),
                limits=Limits(form.limit.supply, form.limit.motor, form.limit.enabled),
                ramp=form.ramp,
                reversed=reversed_ if reversed_ is not None else Fact(),
                key=BusKey(form.bus, form.maker, form.id),
                hookup=Hookup(form.on, form.port),
                module=form.module,
                channels=form.channels,
                spot=Spot(form.at, form.height, form.facing, form.rides_on),
                wishes=wishes or _wishes(form),
                draw=form.draw,
                settings={name: fact for name, fact in _settings(form) if fact.said or fact.mark},
                checks=checks or {},
                labels=labels or {},
                reserved=reserved or {},
                also_called={also: ""} if isinstance(also, str) and also else dict(also or {}),
                note=form.note,
            )
        )

    def _refuse_twins(self) -> None:
        first: dict[str, Device] = {}
        for device in self.devices:
            if device.id in _RESERVED:
                self.faults.add(
                    "reserved-id",
                    None,
                    f"{quoted(device.id)} is the name of the battery path, so nothing else can be called that.",
                    "Give it another id.",
                    mark=device.mark,
                    path=device.path,
                )
            twin = first.setdefault(device.id, device)
            if twin is not device:
                self.faults.add(
                    "id-used-twice",
                    None,
                    f"Two things are called {quoted(device.id)}; the other one is at {twin.mark}.",
                    "Give one of them another id.",
                    mark=device.mark,
                    path=device.path,
                )


def _settings(form: ThingForm) -> Iterator[tuple[str, Fact[float]]]:
    for name in _SETTINGS:
        yield name, getattr(form, name.replace(" ", "_"))


def _wishes(form: ThingForm) -> Wishes:
    from loomwright.robotfile.form import MotorForm  # noqa: PLC0415  form imports pydantic, which is loaded by now

    motor = form if isinstance(form, MotorForm) else None
    return Wishes(
        gauge=form.wire,
        protection=form.protection,
        length=form.length,
        motor_length=motor.motor_length if motor else Fact(),
        joint=form.joint,
        plus_colour=form.plus_colour,
        minus_colour=form.minus_colour,
        bundle=form.bundle,
        drop=form.drop,
    )


def _quantities(does: DoesForm) -> Iterator[tuple[str, Fact[float]]]:
    for name in type(does).model_fields:
        fact = getattr(does, name)
        if isinstance(fact, Fact) and name != "kind" and fact.mark is not None:
            yield name.replace("_", " "), fact
