"""The battery's path: each lead has the gauge that is written for it, and all of them are judged."""

from __future__ import annotations

import pytest

from loomwright.plan.result import Plan
from tests.robots import plan_of

MOTOR = "{motor: motor/brushless-500w, controller: controller/inline-40a, length: 60 cm}"


def planned(battery: str = "", breaker: str = "", block: str = "") -> Plan:
    """Plan a robot whose battery path says these gauges."""
    said = [f", leads: {gauge}" if gauge else "" for gauge in (battery, breaker, block)]
    motors = "".join(f"  m{n}: {MOTOR}\n" for n in range(6))
    return plan_of(
        f"robot: T\nbattery: {{part: battery/agm-12v-18ah, lead length: 25 cm{said[0]}}}\n"
        f"main breaker: {{part: breaker/main-120a, lead length: 20 cm{said[1]}}}\n"
        f"blocks:\n  block: {{part: block/6-heavy-10-light-2-fused, lead length: 20 cm{said[2]}}}\n"
        f"mechanisms:\n{motors}"
    )


def gauges(plan: Plan) -> list[str]:
    """Return the gauges along plus, then along minus."""
    main = plan.circuit("main")
    assert main is not None
    return [str(wire.gauge) for wire in main.wires]


@pytest.mark.parametrize(
    ("said", "along"),
    [
        (("", "", ""), ["6 AWG"] * 5),
        (("4 AWG", "", ""), ["4 AWG"] * 5),
        (("4 AWG", "6 AWG", "2 AWG"), ["4 AWG", "6 AWG", "2 AWG", "4 AWG", "2 AWG"]),
        (("", "", "4 AWG"), ["6 AWG", "6 AWG", "4 AWG", "6 AWG", "4 AWG"]),
    ],
)
def test_each_lead_has_its_own_gauge(said: tuple[str, str, str], along: list[str]) -> None:
    """The battery's leads reach to the plug, the breaker's come from there, the block's feed it; else the battery's."""
    assert gauges(planned(*said)) == along


def test_the_thinnest_lead_is_judged() -> None:
    """A thin lead to the block is a must, whatever the battery's leads are."""
    plan = planned("6 AWG", "6 AWG", "8 AWG")
    main = plan.circuit("main")
    assert main is not None
    assert str(main.gauge.value) == "8 AWG"
    told = {(f.code, f.place.thing) for f in plan.findings if str(f.severity) == "must" and f.source != ""}
    assert ("battery-path-too-thin", "blocks.block.leads") in told


def test_a_lead_too_thick_for_its_clamp_is_told_beside_a_thin_one() -> None:
    """2 AWG does not go into a block that takes 18 to 4 AWG, though the battery's 6 AWG does all that is asked."""
    (found,) = [f for f in planned("6 AWG", "6 AWG", "2 AWG").findings if f.code == "given-gauge"]
    assert found.what == (
        "main: the 2 AWG that is written does not fit everywhere: block supply plus takes 18 to 4 AWG; "
        "battery plug robot side minus takes 6 to 4 AWG; block supply minus takes 18 to 4 AWG."
    )
