"""rules.yaml: the season's rules, as changes to a rule book below or as a book of its own."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.model.rules import Rule, RuleBook, RuleOff
from loomwright.robotfile.forms.leaves import Branch, Faults, plain
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts.part_fields import Fields, did_you_mean
from loomwright.robotfile.rules.rule_parameters import merged, read_parameters
from loomwright.rulebook import CHECKS
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from loomwright.robotfile.forms.leaves import Raw

COMMON_PRACTICE = "common-practice"
_BOOK_KEYS = ("rule book", "dated", "based on", "rules")
_RULE_KEYS = ("check", "sentence", "severity", "source", "dated", "parameters", "reason")
_NEEDED = ("check", "sentence", "severity", "source")
_OFF = "off"
_CAUTION = "caution"
_SEVERITIES = (*(str(severity) for severity in Severity), _OFF)


def read_rules(data: bytes | None, *, file: str = "rules.yaml", name: str = COMMON_PRACTICE) -> RuleBook:
    """Read a team's rule book; without one, the shipped book of this name.

    A rule of the book below is changed by naming its id and only what differs; tables in `parameters`
    change key by key. `severity: off` with a `reason` switches it off. A new id is a new rule.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content; also for a name that is
        no shipped book.
    """
    if data is not None:
        return _read(data, file)
    if name not in shipped_books():
        what = f"There is no rule book {quoted(name)}."
        fix = f"{did_you_mean(name, shipped_books())} Or write your own as `rules.yaml`."
        raise UnreadableInputError([Finding("unknown-rule-book", Severity.MUST, Place(file), what, fix)])
    return _shipped(name)


@lru_cache(maxsize=1)
def shipped_books() -> tuple[str, ...]:
    """Return the names of the rule books that come with the tool."""
    names = (entry.name for entry in _folder().iterdir())
    return tuple(sorted(name.removesuffix(".yaml") for name in names if name.endswith(".yaml")))


@lru_cache(maxsize=4)
def _shipped(name: str) -> RuleBook:
    file = f"{name}.yaml"
    return _read(_folder().joinpath(file).read_bytes(), f"shipped/{file}")


def _folder() -> Traversable:
    return files("loomwright") / "data" / "rules"


def _read(data: bytes, file: str) -> RuleBook:
    root = plain(read_tree(data, file=file))
    reading = _Reading(Fields(root, Faults(), what="a rule book", keys=_BOOK_KEYS))
    book = reading.book()
    if reading.faults.found:
        raise UnreadableInputError(
            sorted(dict.fromkeys(reading.faults.found), key=lambda f: (f.place.line, f.place.column, f.code))
        )
    return book


@dataclass(slots=True)
class _Reading:
    """One rule book as it is read; `below` is the book it changes."""

    fields: Fields
    below: RuleBook | None = None
    rules: dict[str, Rule] = field(default_factory=dict)
    off: dict[str, RuleOff] = field(default_factory=dict)

    @property
    def faults(self) -> Faults:
        return self.fields.faults

    def book(self) -> RuleBook:
        """Read the whole file; faults are noted, never raised."""
        if "rule book" not in self.fields:
            self.fields.fault_here("missing-key", "This rule book has no name.", "Write `rule book: our season`.")
        if "dated" not in self.fields:
            self.fields.fault_here(
                "missing-key",
                "This rule book has no date.",
                "Write `dated:` with the edition or the day you copied it.",
            )
        self._take_below()
        raw = self.fields.get("rules")
        if isinstance(raw, Branch):
            for rule_id in raw:
                self._rule(rule_id, raw[rule_id], raw)
        else:
            self.fields.fault_here(
                "missing-key", "This rule book has no rules.", "Write `rules:` with a rule for each id."
            )
        dated = self.fields.text("dated")
        rules = [replace(rule, dated=rule.dated or dated) for rule in self.rules.values()]
        if not any(rule.check == _CAUTION for rule in rules):
            # Whatever book a team writes, the cautions stand before any work.
            rules += _shipped(COMMON_PRACTICE).of(_CAUTION)
        return RuleBook(
            name=self.fields.text("rule book"),
            dated=dated,
            rules=tuple(rules),
            based_on=self.below.name if self.below else "",
            off=tuple(self.off.values()),
        )

    def _take_below(self) -> None:
        if "based on" not in self.fields:
            return
        name = self.fields.text("based on")
        own = self.fields.text("rule book")
        if name not in shipped_books() or name == own:
            others = tuple(book for book in shipped_books() if book != own)
            self.fields.fault_at_key(
                "based on",
                "unknown-rule-book",
                f"There is no rule book {quoted(name)} below.",
                did_you_mean(name, others),
            )
            return
        self.below = _shipped(name)
        self.rules = {rule.id: rule for rule in self.below.rules}
        self.off = {off.rule.id: off for off in self.below.off}

    def _rule(self, rule_id: str, raw: Raw, among: Branch) -> None:
        rule = Fields(raw, self.faults, what=f"the rule {rule_id}", keys=_RULE_KEYS)
        if not isinstance(raw, Branch):
            return
        known = self.rules.get(rule_id) or (self.off[rule_id].rule if rule_id in self.off else None)
        severity = rule.choice("severity", _SEVERITIES)
        if severity == _OFF:
            self._switch_off(rule_id, rule, known, among)
            return
        if "reason" in rule:
            rule.fault_at_key(
                "reason", "reason-without-off", "A reason is for a rule that is switched off.", "Write `severity: off`."
            )
        made = self._changed(rule, known) if known else self._new(rule_id, rule, among)
        if made is not None:
            self.off.pop(rule_id, None)
            self.rules[rule_id] = replace(made, severity=Severity(severity)) if severity else made

    def _switch_off(self, rule_id: str, rule: Fields, known: Rule | None, among: Branch) -> None:
        reason = rule.text("reason")
        if known is None:
            self._no_such_rule(rule_id, among, "can be switched off")
        elif CHECKS[known.check].kept:
            rule.fault_at_key(
                "severity",
                "rule-is-kept",
                f"{rule_id} is a caution, and cautions can't be switched off.",
                "Write its `sentence:` in your own words instead.",
            )
        elif not reason:
            rule.fault_at_key(
                "severity",
                "off-without-reason",
                f"{rule_id} is switched off without a reason.",
                "Write `reason:`, so that the next person knows why.",
            )
        else:
            self.rules.pop(rule_id, None)
            self.off[rule_id] = RuleOff(known, reason, rule.key_mark("severity"))

    def _changed(self, rule: Fields, known: Rule) -> Rule:
        """Lay what is written over the rule of the book below."""
        if "check" in rule and rule.text("check") != known.check:
            rule.fault_at_key(
                "check",
                "check-changed",
                f"{known.id} is judged by the check {quoted(known.check)}, which can't be changed.",
                "Switch it off and write a rule with an id of its own.",
            )
        parameters = read_parameters(rule, CHECKS[known.check], whole=False)
        return replace(
            known,
            sentence=rule.text("sentence") or known.sentence,
            source=rule.text("source") or known.source,
            dated=rule.text("dated"),
            parameters=merged(known.parameters, parameters),
            mark=rule.spot.mark,
        )

    def _new(self, rule_id: str, rule: Fields, among: Branch) -> Rule | None:
        if "check" not in rule:
            self._no_such_rule(rule_id, among, "is in the book below, and a new rule needs a `check`")
            return None
        for key in _NEEDED:
            if key not in rule:
                rule.fault_here("missing-key", f"The rule {rule_id} has no {key}.", f"Write `{key}: ...`.")
        check = CHECKS.get(rule.text("check"))
        if check is None:
            what = f"There is no check {quoted(rule.text('check'))}."
            rule.fault("unknown-check", rule.get("check") or rule.spot, what, _checks_like(rule))
            return None
        return Rule(
            id=rule_id,
            check=check.name,
            sentence=rule.text("sentence"),
            severity=Severity.SHOULD,
            source=rule.text("source"),
            parameters=read_parameters(rule, check, whole=True),
            dated=rule.text("dated"),
            mark=rule.spot.mark,
        )

    def _no_such_rule(self, rule_id: str, among: Branch, why: str) -> None:
        close = nearest(rule_id, self.rules)
        hint = f"Did you mean {listed([f'`{name}`' for name in close])}? " if close else ""
        self.faults.add(
            "unknown-rule",
            None,
            f"No rule {quoted(rule_id)} {why}.",
            f"{hint}docs/rules.md lists the rules and the checks.",
            mark=among.key_marks[rule_id],
            path=f"rules.{rule_id}",
        )


def _checks_like(rule: Fields) -> str:
    written = rule.text("check")
    close = nearest(written, CHECKS) or nearest(written, CHECKS, closeness=0.4)
    hint = f"Did you mean {listed([f'`{name}`' for name in close])}? " if close else ""
    return f"{hint}docs/rules.md lists every check."
