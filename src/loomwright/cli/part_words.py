"""Print one part class with its ports, its values and where each value comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from loomwright.cli.console import print_json
from loomwright.cli.endings import NOT_UNDERSTOOD
from loomwright.robotfile.folder import PARTS
from loomwright.robotfile.parts.library import Library
from loomwright.units import Dimension, show
from loomwright.wording import listed, quoted

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.model.part import Part, Port, Socket, Valued


def show_part(folder: Path, part_id: str, *, as_json: bool) -> None:
    """Print a part of the robot's own folder or of the shipped catalogue; exit 2 where there is none."""
    own = folder / PARTS
    library = Library(own if own.is_dir() else None)
    part = library.part(part_id)
    if part is None:
        near = library.nearest(part_id)
        hint = f" Did you mean {listed(near)}?" if near else ""
        click.echo(f"There is no part {quoted(part_id)}.{hint}", err=True)
        raise click.exceptions.Exit(NOT_UNDERSTOOD)
    if as_json:
        print_json(_as_data(part, str(library.origin(part_id))))
        return
    click.echo(f"{part.id}: {part.title} ({library.origin(part_id)})")
    for name, held in part.values.items():
        note = f" ({held.note})" if held.note else ""
        click.echo(f"  {name}: {_amount(held)}{note}  [{held.source}]")
    if part.wants_protection_a:
        wanted = " or ".join(show(a, Dimension.CURRENT) for a in part.wants_protection_a)
        exactly = ", nothing else" if part.required_protection else ""
        click.echo(f"  wants protection of {wanted}{exactly}  [{part.wants_protection_source}]")
    if part.trip_curve:
        assumed = "assumed, " if part.curve_assumed else ""
        click.echo(f"  opening times at {len(part.trip_curve)} currents  [{assumed}{part.curve_source}]")
    for socket in part.sockets:
        click.echo(f"  {socket.name}: {socket.role}{_where(socket)}; {_ports(socket)}")
    for note in part.notes:
        click.echo(f"  {note}")


def _amount(held: Valued) -> str:
    return show(held.value, Dimension(held.dimension)) if isinstance(held.value, float) else held.value


def _where(socket: Socket) -> str:
    ratings = [show(rating, Dimension.CURRENT) for rating in socket.ratings_a]
    told = [
        socket.group,
        socket.use,
        f"{socket.volts:g} V" if socket.volts else "",
        f"takes {listed(ratings)}" if ratings else "",
    ]
    told.append(f"up to {show(socket.limit_a, Dimension.CURRENT)}" if socket.limit_a else "")
    words = [word for word in told if word]
    return f" ({', '.join(words)})" if words else ""


def _ports(socket: Socket) -> str:
    return ", ".join(f"{port.polarity} in a {port.kind}{_gauges(port)}" for port in socket.ports)


def _gauges(port: Port) -> str:
    if port.lead_gauge is not None:
        length = f", {show(port.lead_length_m, Dimension.LENGTH)}" if port.lead_length_m else ""
        return f" ({port.lead_gauge}{length})"
    if port.thinnest is None or port.thickest is None:
        return ""
    return f" ({port.thinnest.label} to {port.thickest})"


def _as_data(part: Part, origin: str) -> dict[str, Any]:
    return {
        "part": part.id,
        "title": part.title,
        "origin": origin,
        "values": {
            name: {"value": held.value, "dimension": held.dimension, "source": held.source, "note": held.note}
            for name, held in part.values.items()
        },
        "wants_protection_a": list(part.wants_protection_a),
        "sockets": [
            {
                "name": s.name,
                "role": str(s.role),
                "group": s.group,
                "use": s.use,
                "ports": [str(p.polarity) for p in s.ports],
            }
            for s in part.sockets
        ],
    }
