"""The first fault of YAML itself, said in words that a student can act on."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from loomwright.robotfile.marked.look_alikes import LOOK_ALIKE, look_alike_fault
from loomwright.robotfile.marked.yaml_bracket_faults import (
    empty_in_brackets,
    in_brackets,
    no_key,
    text_behind,
    two_colons,
)
from loomwright.robotfile.marked.yaml_trouble import COMMENT, Trouble, in_quotes, indent_of, trouble_of
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    import yaml

    from loomwright.findings import Finding
    from loomwright.robotfile.marked.source_text import SourceText

_GLUED_COLON = re.compile(r"[^\s:]:(?=[^\s:/])")


def explain(error: yaml.YAMLError, source: SourceText) -> Finding:
    """Turn an error of the YAML library into one fault with its place, what is wrong and a fix."""
    trouble = trouble_of(error, source)
    for detect in _DETECTORS:
        if fault := detect(trouble):
            return fault
    return trouble.fault(
        "yaml-not-understood",
        f"YAML does not understand this line from {quoted(trouble.rest)} on ({trouble.problem}).",
        "Look here and in the line above for a missing quote, comma, bracket, or space behind a colon.",
    )


def _tab(trouble: Trouble) -> Finding | None:
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


def _look_alike(trouble: Trouble) -> Finding | None:
    for index in (trouble.at, trouble.since):
        start = trouble.source.line_start(index)
        if found := LOOK_ALIKE.search(COMMENT.sub("", trouble.source.line_of(index))):
            return look_alike_fault(trouble.source, start + found.start())
    return None


def _reserved_sign(trouble: Trouble) -> Finding | None:
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


def _needs_quotes(trouble: Trouble, at: int) -> Finding:
    text = trouble.source.text[at : trouble.source.rest_end(at)]
    value = re.split(r"\s#|[,\]}]|:\s", text)[0].strip()
    sign = "A backtick" if text.startswith("`") else f"`{text[:1]}`"
    return trouble.fault(
        "yaml-reserved-sign",
        f"{sign} at the start of a value has a meaning of its own in YAML.",
        f"Put the value in quotes: {quoted(in_quotes(value))}.",
        at=at,
    )


def _quote_trouble(trouble: Trouble) -> Finding | None:
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


def _values_not_allowed(trouble: Trouble) -> Finding | None:
    if "mapping values are not allowed" not in trouble.problem:
        return None
    if glued := re.search(r":(?=[{\[])", trouble.before):
        return _glued(trouble, trouble.source.line_start(trouble.at) + glued.start())
    if trouble.previous in {"}", "]"}:
        return text_behind(trouble)
    if re.search(r":\s", trouble.before):
        return two_colons(trouble)
    return trouble.fault(
        "yaml-indentation",
        f"{quoted(trouble.before.strip())} is indented under a line that has a value already.",
        "Start this line in the same column as the line it belongs beside, or give the line above no value.",
        at=trouble.at - len(trouble.before.lstrip()),
    )


def _missing_colon(trouble: Trouble) -> Finding | None:
    if "could not find expected ':'" not in trouble.problem:
        return None
    line = COMMENT.sub("", trouble.source.line_of(trouble.since))
    start = trouble.source.line_start(trouble.since)
    if glued := _GLUED_COLON.search(line):
        return _glued(trouble, start + glued.end() - 1)
    return trouble.fault(
        "yaml-missing-colon",
        f"{quoted(line.strip())} has no colon, so it is neither a key nor a value.",
        f"Write {quoted(f'{line.strip()}: ...')} with a value, or take the line out.",
        at=trouble.since,
    )


def _glued(trouble: Trouble, colon: int) -> Finding:
    line = COMMENT.sub("", trouble.source.line_of(colon)).strip()
    spot = colon - trouble.source.line_start(colon) - indent_of(trouble.source.line_of(colon))
    return trouble.fault(
        "missing-space",
        f"A space is missing behind the colon in {quoted(line)}.",
        f"Write {quoted(f'{line[: spot + 1]} {line[spot + 1 :]}')}.",
        at=colon,
    )


def _lists_and_keys(trouble: Trouble) -> Finding | None:
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


def _behind_a_value(trouble: Trouble) -> Finding | None:
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
        return no_key(trouble)
    return text_behind(trouble) if trouble.before.strip() else None


def _indentation(trouble: Trouble) -> Finding | None:
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


_DETECTORS: tuple[Callable[[Trouble], Finding | None], ...] = (
    _tab,
    _look_alike,
    _reserved_sign,
    _quote_trouble,
    empty_in_brackets,
    in_brackets,
    _values_not_allowed,
    _missing_colon,
    _lists_and_keys,
    _behind_a_value,
    _indentation,
)
