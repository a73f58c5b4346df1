"""plan.yaml keeps all that was decided: routes, the cut list, proofs; and refuses them where they are damaged."""

from __future__ import annotations

import os
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.findings import Finding, UnreadableInputError
from loomwright.plan.memory import KeptCut, KeptRoute
from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.memory_reader import memory_of
from loomwright.robotfile.plans.planfile import read_memory, write_plan
from loomwright.robotfile.plans.quick_memory import quick_memory
from loomwright.units import Gauge
from tests.documents_plan.factories import plan
from tests.plan.decided import CLASH, PROOF, decided, decisions
from tests.robots import as_text, plan_of, robots

FEW = settings(
    max_examples=int(os.environ.get("FUZZ_EXAMPLES", "8")),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
    deadline=None,
)


def text() -> str:
    """Write the plan in which everything is decided."""
    return write_plan(decided(plan())).decode()


def faults(spoilt: str) -> tuple[Finding, ...]:
    """Read a spoilt file and give its faults."""
    assert quick_memory(spoilt.encode()) is None
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(spoilt.encode(), "plan.yaml")
    return caught.value.faults


def test_everything_that_was_decided_comes_back() -> None:
    memory = read_memory(text().encode(), "plan.yaml")
    assert memory == remembered(decided(plan()))
    assert memory.routes == {
        "left front": KeptRoute(("drop of H3", "centre 2", "centre 3")),
        "right front": KeptRoute(("drop of H10", "centre 2", "drop of right front"), Gauge(12)),
    }
    assert memory.shared == 2
    assert memory.bundles == {"centre part 2": 0.0061, "centre part 10": 0.01421}
    assert memory.cuts == (
        KeptCut("new 1", bought=True, wires=(("W3",), ("W4",)), left_m=5.904, length_m=7.62),
        KeptCut("shelf 2", bought=False, wires=(("W1", "W2"),), left_m=2.137, length_m=3.0),
    )
    assert (memory.crossings, memory.clashes) == (3, (CLASH,))
    assert memory.certificates == {
        "slots": PROOF,
        "trunks": replace(PROOF, unit="g of copper"),
        "cut": replace(PROOF, cost=17.0, baseline=None),
        "chain main chain": replace(PROOF, cost=0.1, unit="mm"),
    }
    assert memory.kept_wires["left front", "plus"].path == ("centre",)


def test_the_sections_read_as_a_person_would_write_them() -> None:
    told = text()
    below = told[told.index("main leads:") :]
    assert (
        below
        == """\
main leads: 2
runs:
- run: left front
  gauge: unknown
  along:
  - drop of H3
  - centre 2
  - centre 3
- run: right front
  gauge: 12 AWG
  along:
  - drop of H10
  - centre 2
  - drop of right front
bundles:
- bundle: centre part 2
  diameter: 6.10 mm
- bundle: centre part 10
  diameter: 14.21 mm
cuts:
- spool: new 1
  length: 7.62 m
  bought: "yes"
  left: 5.904 m
  pieces:
  - W3
  - W4
- spool: shelf 2
  length: 3 m
  left: 2.137 m
  pieces:
  - W1 W2
crossings: 3
clashes:
- items:
  - left front
  - intake
  spots:
  - device: block
    slot: H3
  wishes:
  - "heavy: intake"
  drops:
  - x
  counting: "yes"
proofs:
- of: chain main chain
  cost: 0.1 mm
  bound: 1200.25 mm
  breaks: 1
  least breaks: 1
  baseline: 1500 mm
  baseline breaks: 2
"""
        + below[below.index("- of: cut\n") :]
    )


def test_sections_with_nothing_to_say_are_left_out() -> None:
    plain = write_plan(plan()).decode()
    for key in ("main leads", "runs", "cuts", "crossings", "clashes", "proofs"):
        assert f"\n{key}:" not in plain
        assert f"\n{key}:" in text()


def test_a_later_proof_changes_the_lines_of_the_proof_alone() -> None:
    before = decided(plan())
    assert before.slots is not None
    proved = replace(before, slots=replace(before.slots, certificate=replace(PROOF, bound=PROOF.cost)))
    lines = zip(write_plan(before).decode().splitlines(), write_plan(proved).decode().splitlines(), strict=True)
    assert [pair for pair in lines if pair[0] != pair[1]] == [("  bound: 1200.25 mm", "  bound: 1234.5 mm")]


@FEW
@given(st.data())
def test_any_decisions_come_back(data: st.DataObject) -> None:
    """Whatever names and numbers a generated plan holds, both readers find what was written."""
    made: Plan = data.draw(decisions(plan_of(as_text(data.draw(robots(most_motors=3))))))
    written = write_plan(made)
    assert memory_of(written, file="plan.yaml") == remembered(made)
    assert quick_memory(written) == remembered(made)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("main leads: 2", "main leads: two", "main leads: A whole number belongs here."),
        ("  gauge: 12 AWG\n  along", "  gauge: -1\n  along", "runs.right front.gauge: A gauge such as `12 AWG`"),
        ("  gauge: 12 AWG\n  along", "  along", "runs.right front.gauge: `gauge` is missing here."),
        ("  along:\n  - drop of H3\n", "  along:\n  - [a]\n", "runs.left front.along: A lone value belongs here."),
        ("- run: right front", "- run: left front", "runs.left front: `left front` stands twice among the runs."),
        ("diameter: 6.10 mm", "diameter: thick", "bundles.centre part 2.diameter: A diameter such as `9.61 mm`"),
        ("diameter: 6.10 mm", "diameter: 0 mm", "bundles.centre part 2.diameter: A diameter such as `9.61 mm`"),
        ("diameter: 6.10 mm", "diameter: 6 ft", "bundles.centre part 2.diameter: A diameter such as `9.61 mm`"),
        ("centre part 10", "centre part 2", "bundles.centre part 2: `centre part 2` stands twice among the bundles."),
        ("  length: 7.62 m", "  length: unknown", "cuts.new 1.length: A length such as `7.6 m` belongs here."),
        ("  left: 5.904 m", "  left: 5.904", "cuts.new 1.left: A length such as `7.6 m` belongs here."),
        ("  - W3\n", "  - W99\n", "cuts.new 1: No wire has the id `W99`."),
        ("  - W3\n", "  - W4\n", "cuts.new 1: The wire `W4` is cut twice."),
        ("  - W1 W2\n", "  - W1  W2\n", "cuts.shelf 2: No wire has the id ``."),
        ("crossings: 3", "crossings: 3.5", "crossings: A whole number belongs here."),
        ('  counting: "yes"', "  counting: maybe", "clashes.counting: `yes`, or no such line, belongs here."),
        (
            "  cost: 1234.5 mm",
            "  cost: much",
            "proofs.slots.cost: A number, with its unit if it has one, belongs here.",
        ),
        (
            "  cost: 1234.5 mm",
            "  cost: nan mm",
            "proofs.slots.cost: A number, with its unit if it has one, belongs here.",
        ),
        ("  breaks: 1\n", "", "proofs.chain main chain.breaks: `breaks` is missing here."),
        ("- of: trunks\n", "- of: cut\n", "proofs.cut: `cut` stands twice among the proofs."),
        ("- of: trunks\n", "- to: trunks\n", "proofs.of: `of` is missing here."),
        ("- device: block\n", "- device: left front controller\n", "`left front controller` stands twice"),
        ("  part: block/6-heavy\n", "", "devices.block.part: `part` is missing here."),
        ("    gauge: 12 AWG\n", "    gauge: 12 mm\n", "A gauge such as `12 AWG`, or `unknown`, belongs here."),
        ("    length: 85.3 cm\n", "    length: 85.3 ft\n", "A length such as `85.3 cm`, or `unknown`, belongs here."),
        ("    length: 85.3 cm\n", "    length: inf m\n", "A length such as `85.3 cm`, or `unknown`, belongs here."),
        ("    path:\n    - centre\n", "    path: centre\n", "`path` does not hold what it should."),
        ("    colour: BK\n", "", "`colour` is missing here."),
    ],
)
def test_a_damaged_decision_is_told_with_its_place(old: str, new: str, what: str) -> None:
    sound = text()
    assert old in sound
    found = faults(sound.replace(old, new, 1))
    told = [f"{fault.place.thing}: {fault.what}" for fault in found]
    assert any(what in line for line in told), told
    assert all(fault.place.line and fault.fix for fault in found)
