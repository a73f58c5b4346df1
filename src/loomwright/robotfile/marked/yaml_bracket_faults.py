"""What goes wrong inside {...} and [...] and behind values, said in plain words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from loomwright.robotfile.marked.yaml_trouble import in_quotes, indent_of
from loomwright.wording import quoted

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.robotfile.marked.yaml_trouble import Trouble

_CLOSING = {"{": "}", "[": "]"}
# Quotes inside a word (can't, 12") open nothing.
_QUOTED_SPANS = re.compile(r"(?<!\w)\"(?:[^\"\\]|\\.)*\"|(?<!\w)'(?:[^']|'')*'|(?:^|(?<=\s))#[^\r\n]*", re.DOTALL)


def in_brackets(trouble: Trouble) -> Finding | None:
    """Explain trouble inside {...} or [...]; None when it is elsewhere."""
    if "flow" not in trouble.context:
        return None
    opener = trouble.source.text[trouble.since : trouble.since + 1]
    if opener not in _CLOSING:
        return _stray_in_brackets(trouble)
    if _never_closed(trouble):
        return _left_open(trouble, trouble.since)
    if trouble.previous in "\"'" and trouble.char not in ":,":
        return text_behind(trouble)
    return _between_brackets(trouble, opener)


def _between_brackets(trouble: Trouble, opener: str) -> Finding:
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
        return two_colons(trouble)
    return _no_comma(trouble, "")


def _stray_in_brackets(trouble: Trouble) -> Finding:
    if trouble.char == ",":
        return trouble.fault("yaml-two-commas", "There is nothing in front of this comma.", "Take one comma out.")
    if trouble.char == ":":
        return no_key(trouble)
    if not trouble.char and (left_open := _open_brackets(trouble)):
        return _left_open(trouble, left_open[-1])
    return trouble.fault(
        "yaml-wrong-bracket",
        f"A value is missing in front of `{trouble.char}`.",
        "Write the value, or take the sign out.",
    )


def _left_open(trouble: Trouble, at: int) -> Finding:
    opener = trouble.source.text[at]
    return trouble.fault(
        "yaml-open-bracket",
        f"The `{opener}` here is never closed.",
        f"Put `{_CLOSING[opener]}` where its content ends.",
        at=at,
    )


def _open_brackets(trouble: Trouble) -> list[int]:
    """List where brackets were opened that are still open at the end of the file, outermost first."""
    found: list[int] = []
    for index, char in enumerate(_without_quotes(trouble.source.text)):
        if char in _CLOSING:
            found.append(index)
        elif char in "}]" and found:
            found.pop()
    return found


def _without_quotes(text: str) -> str:
    """Blank out what stands in quotes and comments, so that only brackets of the structure are left."""
    return _QUOTED_SPANS.sub(lambda span: "." * len(span[0]), text)


def _never_closed(trouble: Trouble) -> bool:
    """Tell whether the bracket at `since` stays open, or closes only below a line as far left as its own."""
    text = _without_quotes(trouble.source.text)
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
    return indent_of(trouble.line) <= indent_of(trouble.source.line_of(trouble.since))


def empty_in_brackets(trouble: Trouble) -> Finding | None:
    """Explain `{slot:}`, which only one of the two parsers refuses."""
    if "unexpected ':'" not in trouble.problem:
        return None
    key = trouble.source.text[trouble.since : trouble.at].strip()
    return trouble.fault(
        "empty-value",
        f"{quoted(key)} has no value.",
        f"Write a value, or {quoted(f'{key}: unknown')} if it has to be asked, or leave it out.",
        at=trouble.since,
    )


def two_colons(trouble: Trouble) -> Finding:
    """Say that an entry has a second colon, or that a comma is missing before its key."""
    start = re.split(r"[{\[,]", trouble.before)[-1].strip()
    if ":" not in start:
        return _no_comma(trouble, start)
    key, _, value = start.partition(":")
    value = f"{value.strip()}{trouble.rest}"
    text = re.split(r"\s*[}\]]|,\s", value)[0]
    return trouble.fault(
        "yaml-two-colons",
        f"There is a second colon in {quoted(f'{start}{trouble.rest}')}, and YAML takes one for each entry.",
        f"If the colon belongs to the text, write it in quotes: {quoted(f'{key.strip()}: {in_quotes(text)}')}; "
        "otherwise start a new line, or put a comma before the next key.",
    )


def _no_comma(trouble: Trouble, key: str) -> Finding:
    return trouble.fault(
        "yaml-missing-comma",
        f"A comma is missing in front of {quoted(f'{key}{trouble.rest}')}, or a bracket before it was not closed.",
        "Inside {...} and [...] put a comma between two entries.",
        at=trouble.at - len(key),
    )


def text_behind(trouble: Trouble) -> Finding:
    """Say that something stands behind a value that was complete."""
    if state := re.match(r"\((\w+)\)", trouble.rest):
        return trouble.fault(
            "yaml-text-behind",
            f"{quoted(state[0])} stands behind a value in brackets or quotes, where no state can stand.",
            f"Write the long form: `{{value: ..., state: {state[1]}}}`.",
        )
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


def no_key(trouble: Trouble) -> Finding:
    """Say that a colon has no name in front of it."""
    return trouble.fault(
        "empty-key", "There is no name in front of this colon.", "Write a name, or take the entry out."
    )
