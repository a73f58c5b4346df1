"""Data buses and networks: who is on them, in which order, and the faults of what names them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact, Saying, State
from loomwright.model.part import Role
from loomwright.model.robot import Bus
from loomwright.robotfile.forms.leaves import Branch, leaves
from loomwright.robotfile.forms.readers import CHOSEN, SHORTEST
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.forms.form import BusForm, RobotForm
    from loomwright.robotfile.forms.leaves import Raw
    from loomwright.robotfile.references import References

_BUS = (Role.BUS_IN, Role.BUS_OUT)
_ENDS = 2


def read_buses(form: RobotForm, ids: References) -> tuple[Bus, ...]:
    """Return the buses that `data` lists, and one of unknown order for each name that only things use."""
    written: list[Bus] = []
    for name, line in form.data.items():
        bus = _with_members(_Reading(name, line, ids).bus(), ids)
        _terminators_on_it(bus, line, ids)
        written.append(_with_ends(bus, line, ids) if bus.shortest else bus)
    _refuse_unknown(form, ids)
    return (*written, *(_unlisted(ids) if not form.data else ()))


def marks_of(raw: Raw) -> dict[str, Mark]:
    """Return where each word of a list stands first."""
    marks: dict[str, Mark] = {}
    for leaf in leaves(raw):
        marks.setdefault(" ".join(leaf.text.split()), leaf.mark)
    return marks


@dataclass(frozen=True, slots=True)
class _Reading:
    """One bus as it is read."""

    name: str
    form: BusForm
    ids: References

    @property
    def branch(self) -> Branch:
        branch: Branch = self.form.branch
        return branch

    def bus(self) -> Bus:
        network = self._is_network()
        roles = (Role.NETWORK,) if network else _BUS
        shortest = self._is_shortest()
        self._refuse_ends(shortest=shortest, network=network)
        written: Fact[tuple[str, ...]] = Fact() if shortest else self.form.order
        order = written.map(lambda names: tuple(self._devices("order", names, roles)))
        self._refuse_twice(order)
        members = [name for names in order.values for name in names]
        members += self._devices("devices", self.form.devices, roles)
        terminated = self.form.terminators.map(lambda names: tuple(self._devices("terminators", names, roles)))
        links = tuple(self._links())
        members += [name for link in links for name in link]
        kind = "network" if network else "bus"
        unique = tuple(dict.fromkeys(members))
        ends = tuple(dict.fromkeys(self._devices("ends", self.form.ends, roles)))
        mark, path = self.branch.mark, self.branch.path
        return Bus(self.name, kind, unique, order, terminated, links, mark, path, shortest=shortest, ends=ends)

    def _is_network(self) -> bool:
        kind, branch = self.form.kind.value, self.branch
        if kind == "network" and "order" in branch:
            self._wrong("order", f"{self.name} is a network, and a network has cables, not an order.",
                        "Write `links: [[one id, another id]]`, or take `kind: network` out.")  # fmt: skip
        if kind == "bus" and "links" in branch:
            self._wrong("links", f"{self.name} is a bus, and a bus has an order, not links.",
                        "Write `order: [one id, another id]`, or `kind: network`.")  # fmt: skip
        return kind == "network" or (kind is None and bool(self.form.links))

    def _is_shortest(self) -> bool:
        """Tell whether the tool may choose the order; that is a wish, and nothing that can be fitted or disputed."""
        said = self.form.order.said
        if CHOSEN not in self.form.order.values:
            return False
        if len(said) > 1 or said[0].state is not State.PLANNED:
            self._wrong("order", f"`{SHORTEST}` is a wish, so it can't be fitted, guessed or one of several claims.",
                        f"Write `order: {SHORTEST}` alone, or the list of what is really there.")  # fmt: skip
        return True

    def _refuse_ends(self, *, shortest: bool, network: bool) -> None:
        if not self.form.ends or shortest:
            return
        if network:
            self._wrong("ends", f"{self.name} is a network, and a network has cables, not ends.", "Take `ends` out.")
        elif self.form.order.said:
            self._wrong("ends", f"The order of {self.name} is written, so its first and last device are its ends.",
                        f"Take `ends` out, or write `order: {SHORTEST}` and the ids under `devices`.")  # fmt: skip
        else:
            self._wrong("ends", f"{self.name} has `ends`, and the tool is not asked to choose its order.",
                        f"Write `order: {SHORTEST}` beside it, or take `ends` out.")  # fmt: skip

    def _wrong(self, key: str, what: str, fix: str) -> None:
        self.ids.faults.add(
            "bad-form", None, what, fix, mark=self.branch.key_marks[key], path=f"{self.branch.path}.{key}"
        )

    def _devices(self, key: str, names: tuple[str, ...], roles: tuple[Role, ...]) -> Iterator[str]:
        raw = self.branch.get(key, self.branch)
        marks = marks_of(raw)
        for name in names:
            found = self.ids.on_line(name, roles, marks.get(name, raw.mark), raw.path)
            if found:
                yield found

    def _refuse_twice(self, order: Fact[tuple[str, ...]]) -> None:
        """Note names that stand twice in a chain; in claims that disagree each may stand once."""
        if order.saying is not Saying.VALUE:
            return
        raw, seen = self.branch["order"], set()
        for leaf in leaves(raw):
            name = " ".join(leaf.text.split())
            if name in seen and name in self.form.order.values[0]:
                self.ids.faults.add(
                    "twice-in-chain", leaf, f"{name} stands twice in {self.name}.", "A chain passes each device once."
                )
            seen.add(name)

    def _links(self) -> Iterator[tuple[str, str]]:
        for number, link in enumerate(self.form.links):
            raw = self.branch["links"][number]
            if len(link) != 2:  # noqa: PLR2004  a cable has two ends
                if link:
                    self.ids.faults.add(
                        "bad-link", raw, f"A cable has two ends, and here stand {len(link)} ids."
                        if len(link) > 1 else "A cable has two ends, and here stands one id.",
                        "Write `[one id, another id]` for each cable.",
                    )  # fmt: skip
                continue
            marks = marks_of(raw)
            ends = [self.ids.on_line(name, (Role.NETWORK,), marks.get(name, raw.mark), raw.path) for name in link]
            if ends[0] and ends[1]:
                yield ends[0], ends[1]


def _with_members(bus: Bus, ids: References) -> Bus:
    """Add the devices that name this bus themselves."""
    named = [d.id for d in ids.devices if bus.name in d.key.bus.values and d.id not in bus.members]
    return replace(bus, members=(*bus.members, *named))


def _terminators_on_it(bus: Bus, form: BusForm, ids: References) -> None:
    """Note terminators at devices that are not on the bus, where it is known who is."""
    whole = bus.order.value or (bus.members if form.devices or bus.shortest else ())
    for name in dict.fromkeys(name for ends in bus.terminators.values for name in ends):
        if whole and name not in whole:
            raw = form.branch["terminators"]
            called = next(d.called for d in ids.devices if d.id == name)
            ids.faults.add(
                "not-on-bus", None, f"{called} has a terminator, and it is not on {bus.name}.",
                "Put it into the chain, or take it out of `terminators`.",
                mark=marks_of(raw).get(called, raw.mark), path=raw.path,
            )  # fmt: skip


def _with_ends(bus: Bus, form: BusForm, ids: References) -> Bus:
    """Pin the devices with a terminator to the ends of a chain that the tool orders, beside those that `ends` names."""
    if not bus.members and not form.devices and not ids.gone:  # a build may leave a chain empty
        raw = form.branch["order"]
        what = f"The tool is to find the order of {bus.name}, and the file does not say who is on it."
        fix = f"Write `devices: [one id, another id]` beside it, or `bus: {bus.name}` at each thing."
        ids.faults.add("chain-without-devices", raw, what, fix)
    called = {d.id: d.called for d in ids.devices}
    for name in bus.ends:
        if bus.members and name not in bus.members:
            raw = form.branch["ends"]
            ids.faults.add(
                "not-on-bus", None, f"{called[name]} is to be at an end, and it is not on {bus.name}.",
                "Put it under `devices`, or take it out of `ends`.",
                mark=marks_of(raw).get(called[name], raw.mark), path=raw.path,
            )  # fmt: skip
    ends = tuple(dict.fromkeys((*bus.ends, *(bus.terminators.value or ()))))
    if len(ends) > _ENDS:
        raw = form.branch["ends" if bus.ends else "terminators"]
        told = listed([called[name] for name in ends], "and")
        ids.faults.add(
            "too-many-ends", raw, f"{bus.name} would have {len(ends)} ends: {told}.",
            "A chain has two, and a terminator is at an end: let `ends` and `terminators` name the same two.",
        )  # fmt: skip
    return replace(bus, ends=ends)


def _refuse_unknown(form: RobotForm, ids: References) -> None:
    """Note names of buses that `data` does not list, where it lists any."""
    for device in ids.devices if form.data else ():
        for claim in device.key.bus.said:
            if claim.value not in form.data:
                close = nearest(claim.value, form.data)
                hint = f"Did you mean {listed([f'`{word}`' for word in close])}? " if close else ""
                ids.faults.add(
                    "unknown-bus", None, f"There is no data bus {quoted(claim.value)}.",
                    f"{hint}Write it under `data:`, as `{{order: unknown}}` where the chain is not known.",
                    mark=claim.mark or device.mark, path=f"{device.path}.bus",
                )  # fmt: skip


def _unlisted(ids: References) -> Iterator[Bus]:
    names = dict.fromkeys(name for device in ids.devices for name in device.key.bus.values)
    for name in names:
        first = next(d for d in ids.devices if name in d.key.bus.values)
        mark = first.key.bus.mark or first.mark
        order: Fact[tuple[str, ...]] = Fact(Saying.UNKNOWN, (), mark)
        yield _with_members(Bus(name, "bus", (), order, Fact(), (), mark, f"{first.path}.bus"), ids)
