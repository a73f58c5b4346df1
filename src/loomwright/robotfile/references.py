"""Check that every id, slot and chain of a robot file points at something that is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from loomwright.model.device import Device
    from loomwright.model.fact import Claim, Fact
    from loomwright.model.mark import Mark
    from loomwright.robotfile.forms.leaves import Faults

_PATH = ("battery", "battery plug", "main breaker")
_SHOWN_SLOTS = 12


class References:
    """The ids of one robot, and the faults of what points at them.

    `gone` are the ids that a build leaves out, with the name of that build.
    """

    def __init__(
        self, devices: Iterable[Device], mechanisms: Iterable[str], faults: Faults, gone: Mapping[str, str]
    ) -> None:
        self.devices = tuple(devices)
        self.called: dict[str, list[Device]] = {}
        for device in self.devices:
            self.called.setdefault(device.called, []).append(device)
        self.mechanisms = tuple(mechanisms)
        self.faults = faults
        self.gone = gone
        motors = dict.fromkeys(name for name, held in self.called.items() if any(d.mechanism for d in held))
        self._known: dict[str, Mapping[str, object]] = {
            "from": {**self.called, **dict.fromkeys(_PATH)},
            "follows": motors,
            "on": self.called,
            "module": self.called,
            "rides on": {**self.called, **dict.fromkeys(self.mechanisms)},
        }
        self._blocks = [device for device in self.devices if device.kind == "block"]

    def check(self) -> None:
        """Look at every device's references, its pinned slot, and the chain of its feeds."""
        for device in self.devices:
            if device.driven_by:
                continue
            self._each(device, device.feed.source, "from")
            self._each(device, device.follows, "follows")
            self._each(device, device.hookup.on, "on")
            self._each(device, device.module, "module")
            self._each(device, device.spot.rides_on, "rides on")
            self._slot(device)
            self._feed_loop(device)
            self._follow_loop(device)

    def on_line(self, name: str, roles: tuple[Role, ...], mark: Mark, path: str) -> str | None:
        """Return the id of the device that a data line means by a name; note a fault where there is none."""
        devices = self.called.get(name)
        if devices is None:
            self.dangling(name, path, mark, self.called)
            return None
        fitting = [d for d in devices if any(s.role in roles for s in d.part.sockets)]
        fitting = fitting or [d for d in devices if d.part.family]
        if not fitting:
            line = "network socket" if Role.NETWORK in roles else "data bus"
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

    def dangling(self, name: str, path: str, mark: Mark, known: Iterable[str], who: str = "") -> None:
        """Note that an id points at nothing here, or at nothing that fits."""
        if name in self.gone:
            them = f"take {who} out too or " if who else ""
            self.faults.add(
                "left-out-by-build",
                None,
                f"The build {self.gone[name]} leaves {quoted(name)} out, and it is still named here.",
                f"Under `builds`, {them}write under `change` what differs.",
                mark=mark,
                path=path,
            )
            return
        names = list(known)
        close = nearest(name, sorted(names))
        hint = f"Did you mean {listed([f'`{word}`' for word in close])}?" if close else "Check the spelling of the id."
        what = f"Nothing on this robot is called {quoted(name)}."
        if name in self.called or name in self.mechanisms:
            what = f"{quoted(name)} is on this robot, and it is not what belongs here."
            hint = f"Write one of these: {_few(names)}." if names else "Take it out."
        self.faults.add("unknown-id", None, what, hint, mark=mark, path=path)

    def _each(self, device: Device, fact: Fact[str], key: str) -> None:
        known = self._known[key]
        for claim in fact.said:
            if claim.value not in known:
                path = f"{device.path}.{key}"
                offered = [name for name in known if name != device.called]
                self.dangling(claim.value, path, claim.mark or device.mark, offered, who=quoted(device.called))

    def _slot(self, device: Device) -> None:
        if not device.feed.slot.said:
            return
        hosts = [d for value in device.feed.source.values for d in self.called.get(value, [])]
        hosts = hosts or [block for block in self._blocks if block is not device]
        if not hosts or any(d.part.family for d in hosts):
            return
        names = [s.name for d in hosts for s in d.part.with_role(Role.OUTLET)]
        for claim in device.feed.slot.said:
            if claim.value not in names:
                self._no_such_slot(device, claim, hosts, names)

    def _no_such_slot(self, device: Device, claim: Claim[str], hosts: list[Device], names: list[str]) -> None:
        wanted = claim.value.casefold()
        labelled = [
            slot
            for host in hosts
            for slot, label in host.labels.items()
            if wanted in [str(value).casefold() for value in label.values]
        ]
        close = nearest(claim.value, names)
        if labelled:
            hint = f"That is the label of slot {listed(labelled)}. If it is really there, write `slot: {labelled[0]}`."
        elif close:
            hint = f"Did you mean {listed([f'`{word}`' for word in close])}? The slots are {_few(names)}."
        else:
            hint = f"The slots are {_few(names)}. What is written on the block goes under its `labels:`."
        who = listed(list(dict.fromkeys(d.called for d in hosts)))
        self.faults.add(
            "no-such-slot",
            None,
            f"There is no slot {quoted(claim.value)} on {who}.",
            hint,
            mark=claim.mark,
            path=f"{device.path}.slot",
        )

    def _feed_loop(self, device: Device) -> None:
        chain = [device.called]
        at = device
        while True:
            above = self.called.get(at.feed.source.value or "")
            if not above:
                return
            at = next((d for d in above if not d.driven_by), above[0])
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
                        f"Nobody leads here: {' follows '.join([*seen, name])}.",
                        "Let one of them lead: take its `follows:` out.",
                        mark=device.follows.mark,
                        path=f"{device.path}.follows",
                    )
                return
            seen.append(name)
            name = next((d.follows.value for d in self._leaders(name)), None)

    def _leaders(self, name: str) -> Iterator[Device]:
        return (d for d in self.called[name] if not d.driven_by)


def _few(names: list[str]) -> str:
    return ", ".join(names[:_SHOWN_SLOTS]) + (" and more" if len(names) > _SHOWN_SLOTS else "")
