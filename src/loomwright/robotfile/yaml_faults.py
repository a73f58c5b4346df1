"""The first fault of YAML itself, said in words that a student can act on."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import yaml

from loomwright.robotfile.look_alikes import LOOK_ALIKE, look_alike_fault
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.findings import Finding
    from loomwright.robotfile.source_text import SourceText

_CLOSING = {"{": "}", "[": "]"}
_COMMENT = re.compile(r"(?:^|(?<=\s))#.*")
_GLUED_COLON = re.compile(r"[^\s:]:(?=[^\s:/])")
# Quotes inside a word (can't, 12") open nothing.
_QUOTED_SPANS = re.compile(r"(?<!\w)\"(?:[^\"\\]|\\.)*\"|(?<!\w)'(?:[^']|'')*'|(?:^|(?<=\s))#[^\r\n]*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class _Trouble:
    """Where YAML gave up (`at`), in the middle of what (`since`), and its own words for it."""

    source: SourceText
    at: int
    since: int
    problem: str
    context: str

    @property
    def char(self) -> str:
        """The character that YAML stumbled over, empty at the end of the file."""
        return self.source.text[self.at : self.at + 1]

    @property
    def line(self) -> str:
        return self.source.line_of(self.at)

    @property
    def before(self) -> str:
        """The part of the line in front of the trouble."""
        return self.source.text[self.source.line_start(self.at) : self.at]

    @property
    def rest(self) -> str:
        """The part of the line from the trouble on, without a comment."""
        return _COMMENT.sub("", self.source.text[self.at : self.source.rest_end(self.at)]).strip()

    @property
    def previous(self) -> str:
        """The last character that is no space in front of the trouble."""
        return self.source.text[: self.at].rstrip()[-1:]

    def fault(self, code: str, what: str, fix: str, *, at: int | None = None) -> Finding:
        return self.source.fault(code, self.at if at is None else at, what, fix)


def explain(error: yaml.YAMLError, source: SourceText) -> Finding:
    """Turn an error of the YAML library into one fault with its place, what is wrong and a fix."""
    trouble = _trouble(error, source)
    for detect in _DETECTORS:
        if fault := detect(trouble):
            return fault
    return trouble.fault(
        "yaml-not-understood",
        f"YAML does not understand this line from {quoted(trouble.rest)} on ({trouble.problem}).",
        "Look here and in the line above for a missing quote, comma, bracket, or space behind a colon.",
    )


def _trouble(error: yaml.YAMLError, source: SourceText) -> _Trouble:
    if not isinstance(error, yaml.MarkedYAMLError):
        return _Trouble(source, 0, 0, str(error), "")
    marks = [mark.index for mark in (error.problem_mark, error.context_mark) if mark is not None]
    at = min(marks[0], len(source.text)) if marks else 0
    since = min(marks[-1], len(source.text)) if marks else 0
    return _Trouble(source, at, since, error.problem or "", error.context or "")


def _tab(trouble: _Trouble) -> Finding | None:
    starts = [trouble.source.line_start(index) for index in (trouble.at, trouble.since)]
    for start in starts:
        indent = re.compile(r"[ \t]*").match(trouble.source.text, start)
        if indent and "\t" in indent[0]:
            return trouble.fault(
                "yaml-tab",
                "This line is indented with a tab, and YAML takes only spaces.",
                "Replace the tab by spaces, two for each level (most editors do this for the whole file).",
                at=start + indent[0].index("\t"),
            )
    if trouble.char == "\t":
        return trouble.fault(
            "yaml-tab", "There is a tab here, and YAML takes only spaces.", "Replace the tab by a space."
        )
    return None


def _look_alike(trouble: _Trouble) -> Finding | None:
    for index in (trouble.at, trouble.since):
        start = trouble.source.line_start(index)
        if found := LOOK_ALIKE.search(_COMMENT.sub("", trouble.source.line_of(index))):
            return look_alike_fault(trouble.source, start + found.start())
    return None


def _reserved_sign(trouble: _Trouble) -> Finding | None:
    """Name a sign that means something of its own at the start of a value."""
    head = trouble.source.text[: trouble.at]
    directive = re.search(r"^%", head + trouble.char, re.MULTILINE)
    if directive and ("directive" in trouble.context or "document start" in trouble.problem):
        return _needs_quotes(trouble, directive.start())
    scanning = ("an anchor", "an alias", "a tag", "a block scalar")
    if (
        trouble.context.removeprefix("while scanning ") in scanning
        or "tag" in trouble.problem
        or "tag" in trouble.context
    ):
        return _needs_quotes(trouble, trouble.since)
    if "cannot start any token" in trouble.problem or "keys are not allowed" in trouble.problem:
        return _needs_quotes(trouble, trouble.at)
    return None


def _needs_quotes(trouble: _Trouble, at: int) -> Finding:
    text = trouble.source.text[at : trouble.source.rest_end(at)]
    value = re.split(r"\s#|[,\]}]|:\s", text)[0].strip()
    sign = "A backtick" if text.startswith("`") else f"`{text[:1]}`"
    return trouble.fault(
        "yaml-reserved-sign",
        f"{sign} at the start of a value has a meaning of its own in YAML.",
        f"Put the value in quotes: {_in_quotes(value)}.",
        at=at,
    )


def _quote_trouble(trouble: _Trouble) -> Finding | None:
    if "quoted scalar" not in trouble.context:
        return None
    if "escape" in trouble.problem or "hexdecimal" in trouble.problem:
        slash = trouble.source.text.rfind("\\", 0, trouble.at + 1)
        return trouble.fault(
            "yaml-backslash",
            "A backslash between double quotes has a meaning of its own in YAML.",
            "Use single quotes around this text, or write the backslash twice.",
            at=max(slash, 0),
        )
    return trouble.fault(
        "yaml-open-quote",
        f"The quote that starts here is never closed: {quoted(trouble.source.line_of(trouble.since).strip())}.",
        "Put the same quote sign at the end of the text; an apostrophe inside '...' is written twice.",
        at=trouble.since,
    )


def _in_brackets(trouble: _Trouble) -> Finding | None:
    if "flow" not in trouble.context:
        return None
    opener = trouble.source.text[trouble.since : trouble.since + 1]
    if opener not in _CLOSING:
        return _stray_in_brackets(trouble)
    if _never_closed(trouble):
        return trouble.fault(
            "yaml-open-bracket",
            f"The `{opener}` here is never closed.",
            f"Put `{_CLOSING[opener]}` where its content ends.",
            at=trouble.since,
        )
    if trouble.previous in "\"'" and trouble.char not in ":,":
        return _text_behind(trouble)
    return _between_brackets(trouble, opener)


def _between_brackets(trouble: _Trouble, opener: str) -> Finding:
    if trouble.char in "}]":
        line, column = trouble.source.line_and_column(trouble.since)
        return trouble.fault(
            "yaml-wrong-bracket",
            f"The `{opener}` of line {line}, column {column} is closed with `{trouble.char}`.",
            f"Write `{_CLOSING[opener]}` here, or close what was opened in between.",
        )
    if trouble.char == "?":
        return trouble.fault(
            "question-mark",
            "A question mark is no way to say doubt here.",
            "Write the state in brackets, such as `19 (guessed)`, or write `unknown`.",
        )
    if trouble.char == ":":
        return _two_colons(trouble)
    return _no_comma(trouble, "")


def _stray_in_brackets(trouble: _Trouble) -> Finding:
    if trouble.char == ",":
        return trouble.fault("yaml-two-commas", "There is nothing in front of this comma.", "Take one comma out.")
    if trouble.char == ":":
        return _no_key(trouble)
    if not trouble.char:
        return trouble.fault(
            "yaml-open-bracket", "The file ends inside `{` or `[`.", "Put the missing `}` or `]` at the end."
        )
    return trouble.fault(
        "yaml-wrong-bracket",
        f"A value is missing in front of `{trouble.char}`.",
        "Write the value, or take the sign out.",
    )


def _never_closed(trouble: _Trouble) -> bool:
    """Tell whether the bracket at `since` stays open, or closes only below a line as far left as its own."""
    text = _QUOTED_SPANS.sub(lambda span: "." * len(span[0]), trouble.source.text)
    open_brackets = 0
    for index in range(trouble.since, len(text)):
        open_brackets += (text[index] in "{[") - (text[index] in "}]")
        if open_brackets == 0:
            break
    else:
        return True
    new_line = trouble.source.line_start(trouble.at)
    if new_line <= trouble.since or trouble.char in "}]":
        return False
    return _indent(trouble.line) <= _indent(trouble.source.line_of(trouble.since))


def _values_not_allowed(trouble: _Trouble) -> Finding | None:
    if "mapping values are not allowed" not in trouble.problem:
        return None
    if glued := re.search(r":(?=[{\[])", trouble.before):
        return _glued(trouble, trouble.source.line_start(trouble.at) + glued.start())
    if trouble.previous in _CLOSING.values():
        return _text_behind(trouble)
    if re.search(r":\s", trouble.before):
        return _two_colons(trouble)
    return trouble.fault(
        "yaml-indentation",
        f"{quoted(trouble.before.strip())} is indented under a line that has a value already.",
        "Start this line in the same column as the line it belongs beside, or give the line above no value.",
        at=trouble.at - len(trouble.before.lstrip()),
    )


def _two_colons(trouble: _Trouble) -> Finding:
    start = re.split(r"[{\[,]", trouble.before)[-1].strip()
    if ":" not in start:
        return _no_comma(trouble, start)
    key, _, value = start.partition(":")
    value = f"{value.strip()}{trouble.rest}"
    text = re.split(r"\s*[}\]]|,\s", value)[0]
    return trouble.fault(
        "yaml-two-colons",
        f"There is a second colon in {quoted(f'{start}{trouble.rest}')}, and YAML takes one for each entry.",
        f"If the colon belongs to the text, write it in quotes: `{key.strip()}: {_in_quotes(text).strip('`')}`; "
        "otherwise start a new line, or put a comma before the next key.",
    )


def _no_comma(trouble: _Trouble, key: str) -> Finding:
    return trouble.fault(
        "yaml-missing-comma",
        f"A comma is missing in front of {quoted(f'{key}{trouble.rest}')}, or a bracket before it was not closed.",
        "Inside {...} and [...] put a comma between two entries.",
        at=trouble.at - len(key),
    )


def _missing_colon(trouble: _Trouble) -> Finding | None:
    if "could not find expected ':'" not in trouble.problem:
        return None
    line = _COMMENT.sub("", trouble.source.line_of(trouble.since))
    start = trouble.source.line_start(trouble.since)
    if glued := _GLUED_COLON.search(line):
        return _glued(trouble, start + glued.end() - 1)
    return trouble.fault(
        "yaml-missing-colon",
        f"{quoted(line.strip())} has no colon, so it is neither a key nor a value.",
        f"Write {quoted(f'{line.strip()}: ...')} with a value, or take the line out.",
        at=trouble.since,
    )


def _glued(trouble: _Trouble, colon: int) -> Finding:
    line = _COMMENT.sub("", trouble.source.line_of(colon)).strip()
    spot = colon - trouble.source.line_start(colon) - _indent(trouble.source.line_of(colon))
    return trouble.fault(
        "missing-space",
        f"A space is missing behind the colon in {quoted(line)}.",
        f"Write {quoted(f'{line[: spot + 1]} {line[spot + 1 :]}')}.",
        at=colon,
    )


def _lists_and_keys(trouble: _Trouble) -> Finding | None:
    if "sequence entries are not allowed" in trouble.problem and trouble.rest == "-":
        return trouble.fault(
            "empty-value", "A lone dash says nothing.", "Write `unknown` if it has to be asked, or leave it out."
        )
    if "sequence entries are not allowed" in trouble.problem:
        return trouble.fault(
            "yaml-list-place",
            "A list item with `-` can't stand on the same line as its key.",
            f"Write the list in brackets, such as `[{trouble.rest.lstrip('- ')}]`, or each item on its own line.",
        )
    mixed = "'-' indicator" in trouble.problem or "block collection" in trouble.context or trouble.char == "-"
    if mixed and trouble.before.strip() == "" and trouble.context.startswith("while parsing a block"):
        return trouble.fault(
            "yaml-list-place",
            "List items (`- ...`) and keys (`...:`) stand beside each other here.",
            "Use one kind at one level; give the list a key of its own and indent it below.",
        )
    return None


def _behind_a_value(trouble: _Trouble) -> Finding | None:
    if not trouble.context.startswith("while parsing a block"):
        return None
    if trouble.char in {"}", "]"}:
        return trouble.fault(
            "yaml-wrong-bracket",
            f"This `{trouble.char}` closes nothing.",
            "Take it out, or open it further to the left.",
        )
    if trouble.char == ",":
        return trouble.fault("yaml-two-commas", "There is nothing in front of this comma.", "Take the comma out.")
    if trouble.char == ":":
        return _no_key(trouble)
    return _text_behind(trouble) if trouble.before.strip() else None


def _text_behind(trouble: _Trouble) -> Finding:
    if trouble.previous not in {'"', "'"}:
        return trouble.fault(
            "yaml-text-behind",
            f"{quoted(trouble.rest)} stands behind a value that is complete.",
            "Take it out, put a comma in front of it, or start a new line.",
        )
    spans = [span for span in _QUOTED_SPANS.finditer(trouble.source.text, 0, trouble.at) if span[0][0] != "#"]
    if spans and re.search(r"[\r\n]", spans[-1][0]):
        line, _ = trouble.source.line_and_column(trouble.at)
        return trouble.fault(
            "yaml-open-quote",
            f"The quote that starts here runs on to the next quote sign, in line {line}.",
            "Put the same quote sign at the end of the text that belongs in quotes.",
            at=spans[-1].start(),
        )
    return trouble.fault(
        "yaml-text-behind",
        f"{quoted(trouble.rest)} stands behind a closing quote.",
        "Put the whole value in quotes, or none of it; an apostrophe inside '...' is written twice.",
    )


def _no_key(trouble: _Trouble) -> Finding:
    return trouble.fault(
        "empty-key", "There is no name in front of this colon.", "Write a name, or take the entry out."
    )


def _empty_in_brackets(trouble: _Trouble) -> Finding | None:
    """Explain `{slot:}`, which only one of the two parsers refuses."""
    if "unexpected ':'" not in trouble.problem:
        return None
    key = trouble.source.text[trouble.since : trouble.at].strip()
    return trouble.fault(
        "empty-value",
        f"`{key}` has no value.",
        f"Write a value, or `{key}: unknown` if it has to be asked, or leave it out.",
        at=trouble.since,
    )


def _indentation(trouble: _Trouble) -> Finding | None:
    if "document start" in trouble.problem and re.search(r"^\.\.\.", trouble.source.text[: trouble.at], re.MULTILINE):
        return trouble.fault(
            "several-documents", "The file goes on behind its end mark `...`.", "Take the `...` line out."
        )
    if "document start" not in trouble.problem and not trouble.context.startswith("while parsing a block mapping"):
        return None
    return trouble.fault(
        "yaml-indentation",
        f"{quoted(trouble.rest)} starts in a column that fits no line above it.",
        "Start it in exactly the same column as the keys it belongs beside.",
    )


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _in_quotes(value: str) -> str:
    shown = quoted(value)[1:-1]
    return f"`'{shown}'`" if '"' in shown or "\\" in shown else f'`"{shown}"`'


_DETECTORS: tuple[Callable[[_Trouble], Finding | None], ...] = (
    _tab,
    _look_alike,
    _reserved_sign,
    _quote_trouble,
    _empty_in_brackets,
    _in_brackets,
    _values_not_allowed,
    _missing_colon,
    _lists_and_keys,
    _behind_a_value,
    _indentation,
)
