"""Plans for tests of flags: the examples with their first answers, and robots that nobody would draw."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from loomwright.documents.flags.rows import Flag
from loomwright.plan.result import Plan
from tests.robots import as_text, example_text, plan_of

LONG = "n" * 200
HOSTILE = ("=1+1", "../x", "🤖🔧 lift", "زاوية الذراع", "http://x", f"{LONG[:100]} {LONG[:99]}")

#: Of these a robot file takes all as ids; it refuses longer ones and addresses.
NAMES = ("=1+1", "../x", "🤖🔧 lift", "زاوية الذراع", "n" * 60, "m " * 29 + "m")

CODE = (
    "W26 A\nlift controller, plus\n12 AWG RD\nA: block H1 plus\nB: lift controller supply plus\nslot: block H1\nplan: 0"
)


@lru_cache(maxsize=4)
def example(name: str) -> Plan:
    """Plan an example with the first answers: its flags need no proof."""
    return plan_of(example_text(name))


@lru_cache(maxsize=1)
def unknowns() -> Plan:
    """Plan a robot of which little is known: no places, a motor of no known class, a slot that is asked for."""
    return plan_of(
        as_text(
            {
                "robot": "Bare",
                "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm"},
                "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
                "blocks": {"block": {"part": "block/6-heavy-10-light-2-fused", "lead length": "20 cm"}},
                "mechanisms": {
                    "lift": {"motors": {"lift": {"motor": "unknown", "controller": "controller/inline-40a"}}},
                    "arm": {"motors": {"arm": {"motor": "motor/brushed-180w", "slot": "unknown"}}},
                },
            }
        )
    )


def flag(**said: Any) -> Flag:  # noqa: ANN401  passed on as it is
    """Make a flag of a short branch wire, or with something else said."""
    plain: dict[str, Any] = {
        "id": "W26",
        "letter": "A",
        "use": "lift controller, plus",
        "slot": "block H1",
        "where": "block H1 plus",
        "far": "lift controller supply plus",
        "gauge": "12 AWG RD",
        "outside_mm": 3.94,
        "code": CODE,
    }
    return Flag(**{**plain, **said})


@lru_cache(maxsize=1)
def hostile() -> Plan:
    """Plan a robot whose motors have names that break careless sheets."""
    motors = {name: {"motor": "motor/brushless-500w", "controller": "controller/inline-40a"} for name in NAMES}
    return plan_of(
        as_text(
            {
                "robot": f"=SUM(A1) 🤖 {LONG[:40]}",
                "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm"},
                "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
                "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused", "lead length": "20 cm"}},
                "mechanisms": {"all": {"motors": motors}},
            }
        )
    )
