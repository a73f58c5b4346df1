"""`loomwright rack`: which verbs there are."""

from __future__ import annotations

from typing import Final

from loomwright.cli.lazy import Deferred, LazyGroup

VERBS: Final = {
    "add": Deferred("loomwright.cli.rack.add:command", "Put a battery or a charger on the rack, or describe it anew."),
    "reading": Deferred("loomwright.cli.rack.reading:command", "Write down what was measured, seen, charged, played."),
    "move": Deferred("loomwright.cli.rack.move:command", "Say where a battery is now."),
    "release": Deferred("loomwright.cli.rack.release:command", "Let a battery out of quarantine, as a mentor."),
    "fit": Deferred("loomwright.cli.rack.fit:command", "Which are fit for matches, and why the others are not."),
    "next": Deferred("loomwright.cli.rack.next_up:command", "Which battery for the next match, and why."),
    "charge": Deferred("loomwright.cli.rack.charge:command", "Which goes on which charger now, at which current."),
    "day": Deferred("loomwright.cli.rack.day:command", "Plan the day: a battery for each match, chargers, slips."),
}

command = LazyGroup(
    name="rack", deferred=VERBS, help="Batteries and chargers: readings, which is fit, which is next, who charges."
)
