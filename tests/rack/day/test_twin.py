"""The search finds what trying everything finds, and says so."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.rack.day.problem import Day
from loomwright.rack.planning import plan_day
from loomwright.search import Effort
from tests.rack.day.days import small_days
from tests.rack.day.twin import Twin


@settings(max_examples=30)
@given(small_days(most_matches=4))
def test_the_search_is_as_good_as_trying_everything(day: Day) -> None:
    """Every number of the score, in their order of weight, is that of the best of all days, and is proved."""
    plan = plan_day(day, effort=Effort.PROVE)
    assert plan.proof.proved
    assert plan.score.key == Twin(day, {}).search()


@settings(max_examples=20)
@given(small_days(most_matches=3), st.data())
def test_so_it_is_with_a_plan_before(day: Day, data: st.DataObject) -> None:
    """With another plan before, of which as little as possible is swapped."""
    labels = st.sampled_from([battery.label for battery in day.batteries])
    before = {match.name: data.draw(labels) for match in day.matches if data.draw(st.booleans())}
    plan = plan_day(day, effort=Effort.PROVE, before=before)
    assert plan.proof.proved
    assert plan.score.key == Twin(day, before).search()
