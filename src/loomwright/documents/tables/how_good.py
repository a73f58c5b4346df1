"""How good each decision of a plan is, in a line for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.search import in_words
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.plan.result import Plan


def how_good(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Give each kind of decision with how good it is: ("trunks", "within 0.4 % of the best possible")."""
    chains = sorted(plan.chains.items(), key=lambda item: (natural(item[0]), item[0]))
    return (
        ("slots", _slots(plan)),
        ("trunks", _trunks(plan)),
        ("cut list", _cut(plan)),
        *((f"order of {bus}", in_words(held)) for bus, held in chains),
    )


def how_good_line(plan: Plan) -> str:
    """Write all of it in one line."""
    return "; ".join(f"{name}: {words}" for name, words in how_good(plan))


def _slots(plan: Plan) -> str:
    answer = plan.slots
    if answer is None:
        return "nothing to choose"
    dropped = sum(len(clash.drops) for clash in answer.clashes)
    return in_words(answer.certificate) + (f", {_count(dropped, 'wish', 'wishes')} given up" if dropped else "")


def _trunks(plan: Plan) -> str:
    layout = plan.layout
    if layout is None:
        return "nothing to route"
    proof = layout.certificate
    words = in_words(proof, breaks="leave fewer wires without a way") if proof else "nothing to choose"
    lost = len(layout.unrouted)
    return words + (f", {_count(lost, 'run', 'runs')} without a way" if lost else "")


def _cut(plan: Plan) -> str:
    cut = plan.cut
    if cut is None:
        return "nothing to cut"
    if cut.certificate is None:
        return "enough of every wire" if plan.robot.stock.source else "there is no stock file, so nothing is laid out"
    words = in_words(cut.certificate, of="scrap", breaks="need fewer new spools")
    lost = len(cut.missing)
    return words + (f", {_count(lost, 'piece', 'pieces')} without wire" if lost else "")


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
