"""What YAML accepts without a word and a person did not mean."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.model.fact import State
from loomwright.robotfile.marked.look_alikes import LOOK_ALIKE, look_alike_fault
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.robotfile.marked.source_text import SourceText

_STATES = {str(state) for state in State}
_DOUBTS = _STATES | {"unknown", "maybe", "unsure", "assumed", "probably"}
_COMMENT_BEHIND = re.compile(r"[ \t,\]}]*(?<=[ \t])#(?P<glued>[ \t]*)(?P<words>[^\r\n]*)")
_COMMENT_FOR_VALUE = re.compile(r"\s*:[ \t]+(?P<comment>#[^\r\n]*)")
_NO_VALUE_WORDS = {"~", "null", "Null", "NULL"}
_CURLY_QUOTES = "“”„‟‘’‚‛"  # noqa: RUF001  the look-alikes that word processors make
_GLUED_KEY = re.compile(r"(?P<key>[^\s:/\"'{}\[\](),#][^:{}\[\]()\"']*):(?=[^\s:/])")
_LONG_FORM = "{value: ..., state: guessed, source: ...}"


@dataclass(frozen=True, slots=True)
class Piece:
    """One scalar as it stands in the text: from `start` up to `end`, counted from 0."""

    source: SourceText
    start: int
    end: int
    text: str
    style: str
    in_brackets: bool
    thing: str

    @property
    def plain(self) -> bool:
        """Tell whether it was written without quotes and without `|` or `>`."""
        return self.style == ""

    @property
    def raw(self) -> str:
        """The characters as typed."""
        return self.source.text[self.start : self.end]

    @property
    def empty(self) -> bool:
        """Tell whether nothing at all was written."""
        return self.plain and self.text == ""

    @property
    def behind(self) -> str:
        """The rest of the line behind this scalar."""
        return self.source.text[self.end : self.source.rest_end(self.end)]

    def fault(self, code: str, what: str, fix: str, *, at: int | None = None) -> Finding:
        """Make a fault about this scalar, at its head unless said otherwise."""
        return self.source.fault(code, self.start if at is None else at, what, fix, thing=self.thing)


def key_fault(key: Piece) -> Finding | None:
    """Find what makes a key unusable: no name, a merge sign, hidden characters, signs of a slip."""
    if key.text.strip() == "":
        return key.fault(
            "empty-key", "There is no name in front of this colon.", "Write a name, or take the entry out."
        )
    if key.text == "<<" and key.plain:
        return key.fault(
            "merge-key",
            "`<<` is not used here: nobody can see later which of two values won.",
            "Write what many share under `every ...:` (such as `every motor:`), or repeat it.",
        )
    return _hidden_character(key) or _strange_key(key)


def _strange_key(key: Piece) -> Finding | None:
    glued = re.search(r":(?=\S)", key.text) if key.plain else None
    if glued and (key.in_brackets or re.search(r"[^\W\d]", key.text[: glued.start()])):
        written = key.text if key.in_brackets else f"{key.text}{key.behind}".strip()
        return key.fault(
            "missing-space",
            f"A space is missing behind the colon in {quoted(written)}.",
            f"Write {quoted(f'{written[: glued.end()]} {written[glued.end() :]}')}.",
            at=key.start + glued.start(),
        )
    if not key.text.isprintable():
        return key.fault(
            "strange-key",
            f"The key {quoted(key.text)} has a character in it that can't be seen.",
            "Write it in one line.",
        )
    if strange := re.search(r"[{:(]", key.text):
        return key.fault(
            "strange-key",
            f"The key {quoted(key.text)} has `{strange[0]}` in it, which a name can't have.",
            f"Name it {quoted(key.text[: strange.start()].strip() or 'something plain')}; doubt goes behind a value, "
            "such as `slot: H7 (guessed)`.",
        )
    return None


def value_faults(value: Piece, *, below_key: bool = False) -> Iterator[Finding]:
    """Find what a value can hide: lost doubt, lost numbers, cut brackets, pasted characters."""
    if fault := _hidden_character(value):
        yield fault
    if value.plain:
        yield from _plain_value_faults(value, below_key=below_key)
    if value.style not in {"|", ">"}:
        yield from _lost_behind_hash(value)


def _plain_value_faults(value: Piece, *, below_key: bool) -> Iterator[Finding]:
    text = value.text
    if value.raw[:1] in _CURLY_QUOTES and value.raw:
        yield value.fault(
            "curly-quote",
            f"{quoted(text)} starts with a curly quote, which is a letter like any other to YAML.",
            'Use straight quotes ("...") or none.',
        )
    if text in _NO_VALUE_WORDS:
        yield value.fault(
            "empty-value",
            f"{quoted(text)} says nothing here.",
            "Write `unknown` if it has to be asked, or leave it out.",
        )
    if cut_bracket(value):
        yield _cut_bracket_fault(value)
    elif text.endswith("?") and (value.in_brackets or re.fullmatch(r"\S*\d\S*\?", text)):
        yield value.fault(
            "question-mark",
            f"The question mark in {quoted(text)} is no way to say doubt.",
            f"Write {quoted(f'{text[:-1].strip()} (guessed)')} or `unknown`; put a real question in quotes.",
        )
    if below_key and (glued := _GLUED_KEY.match(text)):
        yield value.fault(
            "missing-space",
            f"A space is missing behind the colon in {quoted(value.source.line_of(value.start).strip())}.",
            f"Write {quoted(_with_space(value))}.",
            at=value.start + glued.end() - 1,
        )


def _with_space(value: Piece) -> str:
    line = value.source.text[value.start : value.source.rest_end(value.start)]
    return re.sub(r":", ": ", line, count=1).strip()


def cut_bracket(value: Piece) -> bool:
    """Tell whether a round bracket opened in this value and a comma (or the end) came before it closed."""
    return value.plain and value.in_brackets and value.text.count("(") > value.text.count(")")


def bracket_rest(value: Piece) -> str | None:
    """Give what a comma cut off from `H7 (guessed, from label)`, without its bracket; None if nothing was."""
    if not cut_bracket(value):
        return None
    found = re.match(r"\s*,\s*(?P<rest>[^(){}\[\]\r\n]*)\)", value.behind)
    return found["rest"] if found else None


def _cut_bracket_fault(value: Piece) -> Finding:
    head, _, word = value.text.rpartition("(")
    head, word, rest = head.strip(), word.strip(), bracket_rest(value)
    if rest is None:
        return value.fault(
            "cut-bracket",
            f"The bracket in {quoted(value.text)} is not closed.",
            f"Write {quoted(f'{value.text})')} here, or the long form `{_LONG_FORM}`.",
        )
    state = word if word in _STATES else "guessed"
    said = f"source: {rest}" if word in _STATES else f'note: "{word}, {rest}"'
    return value.fault(
        "cut-bracket",
        f"The comma cuts {quoted(value.text)} off from {quoted(f'{rest})')}: inside {{...}} and [...] it ends a value.",
        f"One word fits in brackets: {quoted(f'{head} ({state})')}. Anything longer goes in the long form: "
        f"{quoted(f'{{value: {head}, state: {state}, {said}}}', longest=100)}.",
    )


def _hidden_character(piece: Piece) -> Finding | None:
    if found := LOOK_ALIKE.search(piece.raw):
        return look_alike_fault(piece.source, piece.start + found.start(), thing=piece.thing)
    if piece.plain and "\t" in piece.raw:
        return piece.fault(
            "tab-inside",
            f"There is a tab inside {quoted(piece.text)}.",
            "Replace the tab by a space.",
            at=piece.start + piece.raw.index("\t"),
        )
    return None


def _lost_behind_hash(value: Piece) -> Iterator[Finding]:
    """Find a state or a number that a `#` turned into a comment.

    A comment counts as lost doubt when its first word is a state and stands right behind the `#`, or when
    that word is all there is. A longer remark after `# ` is a remark.
    """
    found = _COMMENT_BEHIND.match(value.source.text, value.end)
    if found is None:
        return
    words = found["words"].strip()
    at = found.start("glued") - 1
    first = re.match(r"[a-z]+", words.casefold())
    alone = first is not None and re.fullmatch(r"[?!.]*", words[first.end() :]) is not None
    if first is not None and first[0] in _DOUBTS and (alone or not found["glued"]):
        state = first[0] if first[0] in _STATES else "guessed"
        whole = re.search(r"[}\]]", value.source.text[value.end : at])
        yield value.fault(
            "doubt-in-comment",
            f"`{first[0]}` stands in a comment here, so the doubt is lost.",
            f"Write it behind the value it belongs to: `... ({state})`."
            if whole
            else f"Write {quoted(f'{value.text} ({state})')}.",
            at=at,
        )
    elif number := (re.match(r"\d+\b", words) if not found["glued"] else None):
        yield value.fault(
            "number-in-comment",
            f"`#` behind a space starts a comment, so `#{number[0]}` is not read.",
            f'Write {quoted(f"{value.text} {number[0]}")}, or `"{value.text} #{number[0]}"` in quotes; '
            f"if it is a comment, put a space behind the `#`.",
            at=at,
        )


def empty_value_fault(key: Piece, *, thing: str) -> Finding:
    """Say why a key has no value: a comment sign took it, or nothing was written."""
    source, name = key.source, key.text
    comment = _COMMENT_FOR_VALUE.match(source.text, key.end)
    if comment is None:
        return source.fault(
            "empty-value",
            key.start,
            f"{quoted(name)} has no value.",
            f"Write a value, or {quoted(f'{name}: unknown')} if it has to be asked, or leave it out.",
            thing=thing,
        )
    words = re.match(r"#(\w\S*)", comment["comment"])
    in_quotes = f'{name}: "#{words[1]}"' if words else ""
    example = (
        f"Write {quoted(f'{name}: {words[1]}')}, or {quoted(in_quotes)} if the sign belongs to it." if words else ""
    )
    return source.fault(
        "empty-value",
        comment.start("comment"),
        f"{quoted(name)} has no value: `#` starts a comment, so {quoted(comment['comment'].strip())} is not read.",
        example or f"Write a value in front of the comment, or {quoted(f'{name}: unknown')}, or leave it out.",
        thing=thing,
    )


def empty_item_fault(item: Piece) -> Finding:
    """Say that an item of a list is empty."""
    return item.fault("empty-value", "This item of the list is empty.", "Write a value, or take the item out.")


def lone_key_fault(key: Piece, last_key: str, last: Piece | None) -> Finding:
    """Say why a word inside {...} has no colon: a decimal comma, several values, or a forgotten value."""
    if last is None or not last.plain or last.empty:
        return key.fault(
            "missing-value",
            f"{quoted(key.text)} has no colon and no value, and inside {{...}} each entry needs both.",
            f"Write {quoted(f'{key.text}: ...')}, or use [...] for a list.",
        )
    if _digit_comma_digit(last, key):
        return last.fault(
            "decimal-comma",
            f"The comma cuts {quoted(f'{last.text},{key.text}')} in two: {quoted(last_key)} is {quoted(last.text)}, "
            f"and {quoted(key.text)} is left over.",
            f"Write {quoted(f'{last_key}: {last.text}.{key.text}')} for one number, "
            f"{quoted(f'{last_key}: [{last.text}, {key.text}]')} for two.",
        )
    return key.fault(
        "missing-value",
        f"{quoted(key.text)} has no colon and no value, and inside {{...}} each entry needs both.",
        f"Write {quoted(f'{key.text}: ...')}; if {quoted(last_key)} has several values, write "
        f"{quoted(f'{last_key}: [{last.text}, {key.text}]')}.",
    )


def comma_in_list_fault(left: Piece, right: Piece) -> Finding | None:
    """Find `[1,5 m]`: a whole number without a unit, a comma without a space, a number with a unit."""
    if not (re.fullmatch(r"[+-]?\d+", left.text) and re.match(r"\d+\s*[^\W\d_\"'%]", right.text)):
        return None
    if not _digit_comma_digit(left, right):
        return None
    return left.fault(
        "decimal-comma",
        f"The comma in {quoted(f'{left.text},{right.text}')} makes two values of it: inside [...] it ends a value.",
        f"Write {quoted(f'{left.text}.{right.text}')} for one number; for two, put a space behind the comma: "
        f"{quoted(f'{left.text}, {right.text}')}.",
    )


def _digit_comma_digit(left: Piece, right: Piece) -> bool:
    if not (left.plain and right.plain):
        return False
    between = left.source.text[left.end : right.start]
    return between == "," and left.text[-1:].isdigit() and right.text[:1].isdigit()
