"""Who is who: initials and nicknames as people are told apart by, labels as things are."""

from __future__ import annotations

import unicodedata


def same_person(one: str, other: str) -> bool:
    """Tell whether two initials or nicknames are those of one person, however they were typed."""
    return person(one) == person(other)


def person(who: str) -> str:
    """Return initials or a nickname as people are told apart by: letters and digits alone, in one case and width.

    "A.B.", "a-b" and "AB" are one person. The screens do the same (web/static/js/base.js, `person`), so this keeps to
    what a browser can do: lower case and then upper case is as far as folding goes there.
    """
    text = unicodedata.normalize("NFKC", who).lower().upper()
    return "".join(sign for sign in unicodedata.normalize("NFKC", text) if unicodedata.category(sign)[0] in "LN")


def misnamed(who: str) -> str:
    """Say what is wrong with a name that somebody gives, "" where nothing is.

    Signs that nobody sees would make a second person of the first; names without letters and digits are all alike.
    """
    if any(unicodedata.category(sign) == "Cf" for sign in who):
        return "A name has no signs that can't be seen: type it again."
    if not person(who):
        return "A name has a letter or a digit at least."
    return ""


def plain_name(label: str) -> str:
    """Return the label of a thing without case and spaces, as batteries and chargers are told apart by."""
    return "".join(label.casefold().split())
