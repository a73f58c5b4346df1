"""Which ends of a wire somebody makes: all of a cut wire, and of a part's own lead the one where it is held."""

from __future__ import annotations

from loomwright.model.part import Port, PortKind


def made_ends(a_port: Port | None, b_port: Port | None, *, captive: bool) -> tuple[bool, bool]:
    """Tell of end A and end B whether somebody makes it: two captive leads that meet make one joint, told at A."""
    if not captive:
        return True, True
    a_lead = a_port is not None and a_port.kind is PortKind.LEAD
    b_lead = b_port is not None and b_port.kind is PortKind.LEAD
    return (True, False) if b_lead else (not a_lead, True)
