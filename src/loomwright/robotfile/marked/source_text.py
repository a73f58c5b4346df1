"""From the bytes of a file to text that YAML can be asked to read."""

from __future__ import annotations

import codecs
import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from loomwright.findings import Finding, Place, Severity, UnreadableInputError

LARGEST_BYTES = 1_000_000
LONGEST_LINE = 10_000

_LINE_BREAK = re.compile(r"\r\n|\r|\n")
# YAML would end a line here although no editor shows it.
_HIDDEN_BREAK = re.compile("[\x85\u2028\u2029]")
# The characters that YAML 1.1 allows in a file, chapter 5.1 of its specification.
_NOT_PRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SAVE_AS_UTF8 = "Save the file again as UTF-8 (most editors: Save with encoding)."


@dataclass(frozen=True)
class SourceText:
    """The text of one file, and how to speak of places in it; characters are counted from 0."""

    file: str
    text: str

    @cached_property
    def _starts(self) -> list[int]:
        return [0, *(found.end() for found in _LINE_BREAK.finditer(self.text))]

    def fault(self, code: str, index: int, what: str, fix: str, *, thing: str = "") -> Finding:
        """Make a fault that points at a character."""
        line, column = self.line_and_column(index)
        return Finding(code, Severity.MUST, Place(self.file, line, column, thing), what, fix)

    def line_and_column(self, index: int) -> tuple[int, int]:
        """Give line and column of a character, both counted from 1."""
        line = bisect_right(self._starts, index)
        return line, index - self._starts[line - 1] + 1

    def line_of(self, index: int) -> str:
        """Give the whole line that holds a character, without its line break."""
        return self.text[self.line_start(index) : self.rest_end(index)]

    def line_start(self, index: int) -> int:
        """Give the first character of the line that holds a character."""
        return self._starts[bisect_right(self._starts, index) - 1]

    def rest_end(self, index: int) -> int:
        """Give the end of the line that holds a character: its line break, or the end of the text."""
        found = _LINE_BREAK.search(self.text, index)
        return found.start() if found else len(self.text)

    def longest_line(self) -> tuple[int, int]:
        """Give the start and the end of the longest line, its line break included."""
        ends = [*self._starts[1:], len(self.text)]
        return max(zip(self._starts, ends, strict=True), key=lambda ends: ends[1] - ends[0])


def read_source(data: bytes, *, file: str) -> SourceText:
    """Decode a file and refuse what no person can have meant.

    Raises
    ------
    UnreadableInputError
        For a file over 1 MB, not in UTF-8, with NUL or control characters, or with endless lines.
    """
    refuse_size(len(data), file=file)
    source = SourceText(file, _decoded(data, file))
    if hidden := _NOT_PRINTABLE.search(source.text) or _HIDDEN_BREAK.search(source.text):
        raise UnreadableInputError([_hidden_character(source, hidden.start())])
    start, end = source.longest_line()
    if end - start > LONGEST_LINE:
        fault = source.fault(
            "line-too-long",
            start,
            f"This line has {end - start} characters; more than {LONGEST_LINE} is not read.",
            "Break the line: each entry can stand on a line of its own.",
        )
        raise UnreadableInputError([fault])
    return source


def refuse_size(size: int, *, file: str) -> None:
    """Raise UnreadableInputError for a file of more than 1 MB; a file can be asked before it is read."""
    if size > LARGEST_BYTES:
        raise _refusal(
            file,
            "file-too-large",
            f"This file has {size / 1e6:.1f} MB; more than {LARGEST_BYTES / 1e6:.0f} MB is not read.",
            "Take out what is not part of the description, such as logs or pictures.",
        )


def _decoded(data: bytes, file: str) -> str:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) or _looks_like_utf16(data):
        raise _refusal(file, "not-utf-8", "This file is saved as UTF-16, and UTF-8 is needed.", _SAVE_AS_UTF8)
    try:
        return data.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        number = error.start + len(data) - len(error.object) + 1
        before = SourceText(file, error.object[: error.start].decode("utf-8"))
        fault = before.fault(
            "not-utf-8",
            len(before.text),
            f"The byte 0x{error.object[error.start]:02x} here (byte {number} of the file) is not UTF-8.",
            _SAVE_AS_UTF8,
        )
        raise UnreadableInputError([fault]) from None


def _looks_like_utf16(data: bytes) -> bool:
    """Tell text in UTF-16 without its mark: every second byte of plain English is zero."""
    head = data[:64]
    return len(head) >= 4 and (not any(head[1::2]) or not any(head[::2])) and any(head)  # noqa: PLR2004  two characters


def _hidden_character(source: SourceText, index: int) -> Finding:
    char = source.text[index]
    if char == "\0":
        return source.fault(
            "nul-byte",
            index,
            "There is a NUL byte here, so this is no text file or a damaged one.",
            "Take the file from the last good copy, or type this line again.",
        )
    name = "a hidden line break" if _HIDDEN_BREAK.match(char) else "a control character"
    return source.fault(
        "control-character",
        index,
        f"There is {name} here (U+{ord(char):04X}) that no editor shows.",
        "Delete it, or type this line again.",
    )


def _refusal(file: str, code: str, what: str, fix: str) -> UnreadableInputError:
    return UnreadableInputError([Finding(code, Severity.MUST, Place(file, 1, 1), what, fix)])
