"""rules.yaml: laid over a book below, read whole, every fault told at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.findings import Finding, Severity, UnreadableInputError
from loomwright.model.part import Polarity
from loomwright.robotfile.rules.rulefile import read_rules, shipped_books
from loomwright.rulebook import allowed_colours, cautions, judge, minimum_gauge
from loomwright.units import Gauge
from tests.rulebook.factory import common_practice, sound_plan, without

HEAD = "rule book: our season\ndated: 2027\nbased on: common-practice\nrules:\n"


def faults(text: str) -> tuple[Finding, ...]:
    """Return the faults of a rule book that can't be read."""
    with pytest.raises(UnreadableInputError) as caught:
        read_rules(text.encode())
    return caught.value.faults


def codes(text: str) -> list[str]:
    """Return the codes of the faults."""
    return [fault.code for fault in faults(text)]


# ---------------------------------------------------------------- what may be written
def test_without_a_file_the_named_book_is_read() -> None:
    """The common practice where nothing else is said."""
    assert read_rules(None).name == "common-practice"
    assert read_rules(None, name="bench-trainer").based_on == "common-practice"
    assert set(shipped_books()) == {"common-practice", "bench-trainer"}


def test_a_rule_changes_only_in_what_is_written() -> None:
    """One step of one table differs; everything else of the rule stays."""
    book = read_rules(
        (HEAD + "  gauge-by-protection:\n    parameters: {minimum: {breaker: {40 A: 10 AWG}}}\n").encode()
    )
    assert minimum_gauge(book, 40.0, "breaker") == (Gauge(10), "gauge-by-protection")
    assert minimum_gauge(book, 30.0, "breaker") == (Gauge(14), "gauge-by-protection")
    assert minimum_gauge(book, 10.0, "fuse") == (Gauge(22), "gauge-by-protection")
    changed, below = book.rule("gauge-by-protection"), common_practice().rule("gauge-by-protection")
    assert changed is not None
    assert below is not None
    assert (changed.sentence, changed.severity, changed.source) == (below.sentence, below.severity, below.source)
    assert (changed.dated, below.dated) == ("2027", common_practice().dated)
    assert changed.mark is not None
    assert changed.mark.line == 6


def test_sentence_severity_and_lists_change_as_a_whole() -> None:
    """A list is replaced, not added to."""
    book = read_rules(
        (HEAD + "  minus-colour: {severity: should, sentence: Black., parameters: {allowed: [black]}}\n").encode()
    )
    assert allowed_colours(book, Polarity.MINUS) == ("BK",)
    rule = book.rule("minus-colour")
    assert rule is not None
    assert (rule.severity, rule.sentence) == (Severity.SHOULD, "Black.")


def test_the_order_of_the_book_below_stays_and_new_rules_follow() -> None:
    """People find rules where they were."""
    text = """  ours:
    check: ramp in reason
    sentence: Ramps are short.
    severity: consider
    source: our notebook
    parameters: {at most: 2 s}
  plus-colour: {severity: should}
"""
    book = read_rules((HEAD + text).encode())
    assert [rule.id for rule in book.rules] == [*(rule.id for rule in common_practice().rules), "ours"]
    ours = book.rule("ours")
    assert ours is not None
    assert ours.parameters == {"at most": 2.0}


def test_a_rule_is_switched_off_with_a_reason_and_can_come_back() -> None:
    """The trainer's book switches the light off; a team's book above it may want it."""
    trainer = read_rules(None, name="bench-trainer")
    assert trainer.rule("signal-light-present") is None
    assert "signal-light-present" in [off.rule.id for off in trainer.off]
    text = "rule book: ours\ndated: 2027\nbased on: bench-trainer\nrules:\n  signal-light-present: {severity: must}\n"
    back = read_rules(text.encode())
    assert back.rule("signal-light-present") is not None
    assert "signal-light-present" not in [off.rule.id for off in back.off]


def test_a_rule_that_is_off_judges_nothing() -> None:
    """And stays in sight as advice."""
    plan = without(sound_plan(), "beacon")
    assert "signal-light-present" in [f.source for f in judge(plan)]
    off = read_rules((HEAD + "  signal-light-present: {severity: off, reason: we have none}\n").encode())
    found = judge(replace(plan, rules=off))
    assert "signal-light-present" not in [f.source for f in found]
    assert "The rule signal-light-present is switched off: we have none." in [f.what for f in found]


def test_a_book_may_stand_alone() -> None:
    """Without `based on`, only its own rules hold; the cautions stand all the same."""
    text = """rule book: tiny
dated: today
rules:
  leads:
    {check: battery path gauge, sentence: Thick leads., severity: must, source: notes, parameters: {minimum: 4 AWG}}
"""
    book = read_rules(text.encode())
    assert ([rule.id for rule in book.rules if rule.check != "caution"], book.based_on) == (["leads"], "")
    assert cautions(book) == cautions(read_rules(None))


def test_a_slip_in_a_kind_of_protection_is_told() -> None:
    """`breakers` for `breaker` would leave the common rule in force without a word."""
    text = "  gauge-by-protection: {parameters: {minimum: {breakers: {40 A: 10 AWG}}}}\n"
    with pytest.raises(UnreadableInputError) as caught:
        read_rules((HEAD + text).encode())
    assert "`breakers`" in str(caught.value)
    assert "breaker" in caught.value.faults[0].fix


def test_cautions_end_with_the_deference_whatever_is_added() -> None:
    """A team's own caution comes before the words that defer to the season's rules."""
    text = "  ours: {check: caution, sentence: Mind the flywheel., severity: must, source: our notebook}\n"
    told = cautions(read_rules((HEAD + text).encode()))
    assert "Mind the flywheel." in told
    assert told[-1].startswith("Your season's rule book, local codes and licensed practice come before")
    assert "unplug the battery" in told[0]


# ---------------------------------------------------------------- what is refused
def test_an_unknown_check_is_refused_with_the_nearest_ones() -> None:
    """Whole text, as it is printed."""
    text = "  ours: {check: gauge by protecton, sentence: x, severity: must, source: y}\n"
    [fault] = faults(HEAD + text)
    assert fault.as_text() == (
        "rules.yaml:5:17  rules.ours.check  [unknown-check] must\n"
        "  There is no check `gauge by protecton`.\n"
        "  Fix: Did you mean `gauge by protection` or `gauge by use`? docs/rules.md lists every check."
    )


REFUSED = [
    ("  plus-color: {severity: off, reason: x}\n", "unknown-rule"),
    ("  plus-color: {severity: must}\n", "unknown-rule"),
    ("  plus-colour: {severity: off}\n", "off-without-reason"),
    ("  plus-colour: {severity: must, reason: x}\n", "reason-without-off"),
    ("  plus-colour: {severity: mst}\n", "unknown-word"),
    ("  plus-colour: {check: free slots}\n", "check-changed"),
    ("  plus-colour: {colour: red}\n", "unknown-key"),
    ("  plus-colour: {parameters: {allowed: [rd, redd]}}\n", "unknown-colour"),
    ("  plus-colour: {parameters: {polarity: pluss}}\n", "unknown-word"),
    ("  plus-colour: red\n", "bad-form"),
    ("  caution-eyes: {severity: off, reason: x}\n", "rule-is-kept"),
    ("  battery-lead-length: {parameters: {at most: 12}}\n", "bad-value"),
    ("  battery-lead-length: {parameters: {at mst: 12 in}}\n", "unknown-key"),
    ("  battery-lead-length: {parameters: {at most: [12 in]}}\n", "bad-form"),
    ("  battery-path-gauge: {parameters: {minimum: 6 mm}}\n", "bad-value"),
    ("  gauge-by-protection: {parameters: {minimum: 12 AWG}}\n", "bad-form"),
    ("  gauge-by-protection: {parameters: {minimum: {breaker: {40: 12 AWG}}}}\n", "bad-value"),
    ("  limit-not-zero: {parameters: {at most: 1 A}}\n", "no-parameters"),
    ("  ours: {check: ramp in reason, sentence: x, severity: must, source: y}\n", "missing-parameter"),
    ("  ours: {check: limit sides, severity: must, source: y}\n", "missing-key"),
]


@pytest.mark.parametrize(("text", "code"), REFUSED)
def test_each_slip_is_refused_at_its_line(text: str, code: str) -> None:
    """One fault for one slip."""
    [fault] = faults(HEAD + text)
    assert (fault.code, fault.place.file, fault.place.line) == (code, "rules.yaml", 5)
    assert fault.place.thing.startswith("rules.")


def test_a_book_without_name_date_and_rules_is_told_all_three() -> None:
    """Every fault at once."""
    assert codes("based on: common-practice\n") == ["missing-key"] * 3


def test_all_faults_of_all_rules_are_told_at_once_in_file_order() -> None:
    """Not one after the other."""
    text = HEAD + "".join(line for line, _ in REFUSED[2:6]).replace("plus-colour", "{}", 0)
    text = text.replace("  plus-colour: {severity: must, reason: x}\n", "  minus-colour: {severity: must, reason: x}\n")
    text = text.replace("  plus-colour: {severity: mst}\n", "  free-slots: {severity: mst}\n")
    text = text.replace("  plus-colour: {check: free slots}\n", "  jumperr: {severity: must}\n")
    assert codes(text) == ["off-without-reason", "reason-without-off", "unknown-word", "unknown-rule"]


def test_an_unknown_book_is_refused_below_and_as_a_name() -> None:
    """With the books there are."""
    text = "rule book: x\ndated: y\nbased on: comon-practice\nrules: {}\n"
    assert codes(text) == ["unknown-rule-book"]
    with pytest.raises(UnreadableInputError) as caught:
        read_rules(None, name="comon-practice", file="robot.yaml")
    [fault] = caught.value.faults
    assert "Did you mean `common-practice`?" in fault.fix


def test_broken_yaml_is_one_fault() -> None:
    """The first fault of YAML itself."""
    assert len(faults("rule book: [\n")) == 1
