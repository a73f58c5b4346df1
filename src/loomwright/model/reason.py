"""A value together with why it is so and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class Origin(StrEnum):
    """Where a number comes from."""

    GIVEN = "given"
    CATALOGUE = "catalogue"
    COMPUTED = "computed"
    ASSUMED = "assumed"
    MEASURED = "measured"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Reasoned(Generic[T]):
    """A decided value with its reason in words, where it comes from, and a source key or file line."""

    value: T
    reason: str
    origin: Origin
    source: str = ""
