"""Check that every id, slot and chain of a robot file points at something that is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.mark import Mark
    from loomwright.robotfile.leaves import Faults

_BUS = (Role.BUS_IN, Role.BUS_OUT)
_PATH = ("battery", "battery plug", "main breaker")


class References:
    """The ids of one robot, and the faults of what points at them."""

    def __init__(self, devices: Iterable[Device], mechanisms: Iterable[str], faults: Faults) -> None:
        self.devices = tuple(devices)
        self.called: dict[str, list[Device]] = {}
        for device in self.devices:
            self.called.setdefault(device.called, []).append(device)
        self.mechanisms = tuple(mechanisms)
        self.faults = faults

    def check(self) -> None:
        """Look at every device's references, its pinned slot, and the chain of its feeds."""
        for device in self.devices:
            if device.driven_by:
                continue
            self._each(device, device.feed.source, "from", self.called)
            self._each(device, device.follows, "follows", self._motors())
            self._each(device, device.hookup.on, "on", self.called)
            self._each(device, device.module, "module", self.called)
            self._each(device, device.spot.rides_on, "rides on", [*self.called, *self.mechanisms])
            self._slot(device)
            self._feed_loop(device)
            self._follow_loop(device)

    def on_bus(self, name: str, mark: Mark, path: str, *, network: bool = False) -> str | None:
        """Return the id of the device that a chain means by a name; a fault where there is none."""
        devices = self.called.get(name)
        if devices is None:
            self._dangling(name, path, mark, self.called)
            return None
        roles = (Role.NETWORK,) if network else _BUS
        fitting = [d for d in devices if any(s.role in roles for s in d.part.sockets)]
        if not fitting and devices[0].part.family:
            return devices[0].id  # which part it is gets asked elsewhere
        if not fitting:
            line = "network socket" if network else "data bus"
            self.faults.add(
                "no-bus-on-part",
                None,
                f"{name} has no {line}: its part is {devices[0].part.id}.",
                f"Take {name} out of this list, or give it a part class that has one.",
                mark=mark,
                path=path,
            )
            return None
        return fitting[0].id

    def _motors(self) -> list[str]:
        return [name for name, devices in self.called.items() if any(d.mechanism for d in devices)]

    def _each(self, device: Device, fact: Fact[str], key: str, known: Iterable[str]) -> None:
        names = set(known)
        for value in fact.values:
            if value not in names and not (key == "from" and value in _PATH):
                self._dangling(value, f"{device.path}.{key}", fact.mark or device.mark, names)

    def _dangling(self, name: str, path: str, mark: Mark, known: Iterable[str]) -> None:
        close = nearest(name, sorted(known))
        hint = f"Did you mean {listed([f'`{word}`' for word in close])}?" if close else "Check the spelling of the id."
        self.faults.add(
            "unknown-id", None, f"Nothing on this robot is called {quoted(name)}.", hint, mark=mark, path=path
        )

    def _slot(self, device: Device) -> None:
        fact = device.feed.slot
        hosts = [d for value in device.feed.source.values for d in self.called.get(value, [])]
        hosts = hosts or [d for d in self.devices if d.kind == "block" and d.id != device.id]
        if not fact.said or not hosts or any(d.part.family for d in hosts):
            return
        names = [s.name for d in hosts for s in d.part.with_role(Role.OUTLET)]
        for value in fact.values:
            if value not in names:
                close = nearest(value, names)
                hint = f"Did you mean {listed([f'`{word}`' for word in close])}? " if close else ""
                who = listed(list(dict.fromkeys(d.called for d in hosts)))
                shown = ", ".join(names[:12]) + (" and more" if len(names) > 12 else "")  # noqa: PLR2004  one line
                self.faults.add(
                    "no-such-slot",
                    None,
                    f"There is no slot {quoted(value)} on {who}.",
                    f"{hint}The slots are {shown}; a label goes under `labels:` of the block.",
                    mark=fact.mark,
                    path=f"{device.path}.slot",
                )

    def _feed_loop(self, device: Device) -> None:
        chain = [device.called]
        at = device
        while True:
            above = self.called.get(at.feed.source.value or "")
            if not above:
                return
            at = above[0]
            if at.called in chain:
                break
            chain.append(at.called)
        if at.called == device.called and device.called == min(chain):
            way = " from ".join([*chain, device.called])
            self.faults.add(
                "fed-in-a-circle",
                None,
                f"The feeds run in a circle: {way}.",
                "Take one `from:` out, so that the chain ends at the battery.",
                mark=device.feed.source.mark,
                path=f"{device.path}.from",
            )

    def _follow_loop(self, device: Device) -> None:
        seen = [device.called]
        name = device.follows.value
        while name is not None and name in self.called:
            if name in seen:
                if name == device.called and device.called == min(seen):
                    self.faults.add(
                        "follows-in-a-circle",
                        None,
                        f"{' follows '.join([*seen, name])}.",
                        "Let one of them lead: take its `follows:` out.",
                        mark=device.follows.mark,
                        path=f"{device.path}.follows",
                    )
                return
            seen.append(name)
            leaders = [d for d in self.called[name] if not d.driven_by]
            name = leaders[0].follows.value if leaders else None
