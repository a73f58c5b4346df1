"""The colour of each wire: as the team wrote it, else the usual one, else what the rule book allows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_words
from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin, Reasoned
from loomwright.rulebook import allowed_colours, colour_allowed
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.wiring.result import Circuit, Wire


def wire_colour(robot: Robot, rules: RuleBook, circuit: Circuit, wire: Wire) -> Reasoned[str]:
    """Return the IEC 60757 code of a wire with its reason, empty where a part or a cable brings its own colours."""
    if wire.captive:
        return Reasoned("", "the part's own leads have their own colours", Origin.CATALOGUE)
    polarity = wire.b.polarity
    load = robot.device(circuit.load)
    if load is not None and circuit.kind is not CircuitKind.MOTOR:
        said = {Polarity.PLUS: load.wishes.plus_colour, Polarity.MINUS: load.wishes.minus_colour}.get(polarity)
        if said is not None and said.value is not None:
            return Reasoned(said.value, "given", Origin.GIVEN, str(said.mark or ""))
    row = next((row for row in table("wire_colour_use") if row["conductor"] == polarity), None)
    if row is None:
        return Reasoned("", "a ready-made cable", Origin.CATALOGUE)
    if colour_allowed(rules, polarity, row["code"]):
        return Reasoned(row["code"], f"usual for {polarity}", Origin.CATALOGUE, row["source"])
    plain = [code for code in allowed_colours(rules, polarity) if code.isalpha()]
    return Reasoned(
        plain[0] if plain else row["code"], f"what the rule book allows for {polarity}", Origin.CATALOGUE, rules.name
    )


def colours_in_words(robot: Robot, rules: RuleBook, circuit: Circuit) -> Reasoned[str]:
    """Return all colours of a circuit as one decision: "RD, BK", with the reason of each."""
    held = {wire.b.polarity: wire_colour(robot, rules, circuit, wire) for wire in circuit.wires}
    if not held:
        return Reasoned("", "no wires", Origin.CATALOGUE)
    told = [
        f"{polarity} {colour_words(c.value) if c.value else 'as it is'}: {c.reason}" for polarity, c in held.items()
    ]
    first = next(iter(held.values()))
    given = next((colour for colour in held.values() if colour.origin is Origin.GIVEN), first)
    return Reasoned(", ".join(c.value for c in held.values() if c.value), "; ".join(told), given.origin, given.source)
