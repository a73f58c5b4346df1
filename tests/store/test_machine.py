"""Two laptops through anything that can happen to them, beside a model of plain lists."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from loomwright.store import Store, backup, import_lines, open_store, restore
from tests.store.laptops import NOW, ROBOT, event, exported, names, quick_folder, sign

_SIDES = st.sampled_from([0, 1])
#: An event of the model: its number and its words.
_Said = tuple[int, str]


class Bench(RuleBasedStateMachine):
    """Each side of the model: for every origin the events it wrote, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.stack = ExitStack()
        self.folder = self.stack.enter_context(quick_folder())
        self.new_origin = names("origin")
        self.paths = [self.folder / "bench0.db", self.folder / "bench1.db"]
        self.stores = [self.opened(path) for path in self.paths]
        self.model: list[dict[str, list[_Said]]] = [{}, {}]
        self.backups: list[tuple[Path, dict[str, list[_Said]]]] = []

    def opened(self, path: Path) -> Store:
        """Open a side; a file that is new or was restored gets a name that was never used."""
        return open_store(path, robot=ROBOT, now=NOW, new_origin=self.new_origin)

    def teardown(self) -> None:
        """Close everything, and remove the folder."""
        for store in self.stores:
            store.close()
        self.stack.close()

    @rule(side=_SIDES, said=st.lists(st.tuples(st.integers(1, 9), st.sampled_from(["", "other"])), max_size=4))
    def append(self, side: int, said: list[_Said]) -> None:
        """Events that are new, known, or clash, in one batch."""
        outcomes = sign(self.stores[side], [event(number, words) for number, words in said])
        expected = [self.expect(side, one) for one in said]
        assert outcomes == expected

    def expect(self, side: int, one: _Said) -> str:
        """Write an event into the model and say what becomes of it."""
        origins = self.model[side]
        held = [other for chain in origins.values() for other in chain if other[0] == one[0]]
        if one in held:
            return "known"
        if held:
            return "clash"
        origins.setdefault(self.stores[side].origin, []).append(one)
        return "added"

    @rule(giver=_SIDES, partly=st.booleans())
    def hand_over(self, giver: int, *, partly: bool) -> None:
        """One side exports, everything or what the other lacks; the other takes it in."""
        taker = 1 - giver
        lines = exported(self.stores[giver], self.stores[taker].heads() if partly else None)
        taken = import_lines(self.stores[taker], lines)
        added = 0
        for origin, chain in self.model[giver].items():
            mine = self.model[taker].setdefault(origin, [])
            added += max(0, len(chain) - len(mine))
            self.model[taker][origin] = max(mine, list(chain), key=len)
        assert taken.added == added

    @rule(side=_SIDES)
    def open_again(self, side: int) -> None:
        """End the program and start it: the same name, the same records."""
        origin = self.stores[side].origin
        self.stores[side].close()
        self.stores[side] = self.opened(self.paths[side])
        assert self.stores[side].origin == origin

    @rule(side=_SIDES)
    def back_up(self, side: int) -> None:
        """Put a copy aside."""
        path = self.folder / f"kept{len(self.backups)}.db"
        backup(self.stores[side], path)
        self.backups.append((path, {origin: list(chain) for origin, chain in self.model[side].items()}))

    @precondition(lambda self: self.backups)
    @rule(side=_SIDES, chance=st.integers(0, 99))
    def restore(self, side: int, chance: int) -> None:
        """Lose a side's file and go on with some backup, its own or the other's."""
        path, held = self.backups[chance % len(self.backups)]
        used = {store.origin for store in self.stores}
        self.stores[side].close()
        self.paths[side].unlink()
        restore(path, self.paths[side], robot=ROBOT)
        self.stores[side] = self.opened(self.paths[side])
        assert self.stores[side].origin not in used
        self.model[side] = {origin: list(chain) for origin, chain in held.items()}

    @invariant()
    def both_hold_what_the_model_holds(self) -> None:
        """Every origin's events in order, by words and number; every chain verifies."""
        for store, origins in zip(self.stores, self.model, strict=True):
            kept: dict[str, list[_Said]] = {}
            for record in store.records():
                words = "" if record.event.words.startswith("note") else record.event.words
                kept.setdefault(record.origin, []).append((int(record.event.key, 16), words))
            assert kept == {origin: chain for origin, chain in origins.items() if chain}
            assert store.heads() == {origin: len(chain) for origin, chain in kept.items()}
            assert store.verify() == []


def test_two_laptops_hold_what_plain_lists_hold() -> None:
    """Signing, exchanging, opening again, backing up and restoring in any order, as often as they like."""
    run_state_machine_as_test(Bench, settings=settings(max_examples=40, stateful_step_count=25))
