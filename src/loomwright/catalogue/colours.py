"""Wire colours by name and by IEC 60757 letter code; two codes in a row are a colour with a stripe."""

from __future__ import annotations

import csv
import re
from functools import lru_cache
from importlib.resources import files

_STRIPED = re.compile(r"(?P<body>\w+)\s*(?:with|/|-|\+)\s*(?P<stripe>\w+?)(?:\s+stripe)?", re.IGNORECASE)


@lru_cache(maxsize=1)
def _table() -> dict[str, str]:
    """Map each code to its name."""
    text = (files("loomwright") / "data" / "tables" / "wire_colours.csv").read_text(encoding="utf-8")
    return {row["code"]: row["name"] for row in csv.DictReader(text.splitlines())}


@lru_cache(maxsize=1)
def _codes() -> dict[str, str]:
    """Map each way to write a plain colour, in small letters, to its code."""
    text = (files("loomwright") / "data" / "tables" / "wire_colours.csv").read_text(encoding="utf-8")
    codes: dict[str, str] = {}
    for row in csv.DictReader(text.splitlines()):
        codes |= {word.casefold(): row["code"] for word in (row["code"], row["name"], row["also"]) if word}
    return codes


def colour_names() -> tuple[str, ...]:
    """Return the plain colour words."""
    return tuple(_table().values())


def colour_code(text: str) -> str | None:
    """Return the IEC 60757 code of "red", "RD", "black with red stripe" (BKRD), or None."""
    tidy = " ".join(text.split()).casefold()
    codes = _codes()
    if tidy in codes:
        return codes[tidy]
    if len(tidy) == 4 and tidy[:2] in codes and tidy[2:] in codes:  # noqa: PLR2004  two codes of two letters
        return tidy.upper()
    found = _STRIPED.fullmatch(tidy)
    if found and found["body"] in codes and found["stripe"] in codes:
        return codes[found["body"]] + codes[found["stripe"]]
    return None


def colour_words(code: str) -> str:
    """Write a code out: "RD" is "red", "BKRD" is "black with red stripe"."""
    names = _table()
    return names[code] if code in names else f"{names[code[:2]]} with {names[code[2:]]} stripe"
