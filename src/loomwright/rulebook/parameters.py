"""The kinds of parameters that rules carry, and typed ways to ask a rule for one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from loomwright.units import Dimension, Gauge

if TYPE_CHECKING:
    from loomwright.model.rules import Parameter, Rule

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with the unit of its dimension, held in its base unit."""

    dimension: Dimension


@dataclass(frozen=True, slots=True)
class Size:
    """A wire gauge."""


@dataclass(frozen=True, slots=True)
class Colour:
    """A wire colour, held as its letter code; `any stripe` behind a colour allows it with a stripe only."""


@dataclass(frozen=True, slots=True)
class Word:
    """A short text; one of `options` where there are any."""

    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Several:
    """A list of one kind: words or colours."""

    of: Word | Colour


@dataclass(frozen=True, slots=True)
class Table:
    """Keys and values, each of one kind."""

    key: Word | Amount
    value: Kind


Kind: TypeAlias = "Amount | Size | Colour | Word | Several | Table"


def amount(rule: Rule, name: str) -> float:
    """Return a number in its base unit."""
    return _of(rule, name, float)


def word(rule: Rule, name: str) -> str:
    """Return a text, empty where the rule leaves it out."""
    return _of(rule, name, str) if name in rule.parameters else ""


def words(rule: Rule, name: str) -> tuple[str, ...]:
    """Return a list of words, empty where the rule leaves it out."""
    return _of(rule, name, tuple) if name in rule.parameters else ()


def gauge(rule: Rule, name: str) -> Gauge:
    """Return a wire gauge."""
    return _of(rule, name, Gauge)


def amounts(rule: Rule, name: str) -> dict[str, float]:
    """Return a table of numbers by word."""
    return {str(key): _a(float, value, rule, name) for key, value in _table(rule, name).items()}


def told_words(rule: Rule, name: str) -> dict[str, str]:
    """Return a table of words by word."""
    return {str(key): _a(str, value, rule, name) for key, value in _table(rule, name).items()}


def gauges(rule: Rule, name: str) -> dict[str, Gauge]:
    """Return a table of gauges by word."""
    return {str(key): _a(Gauge, value, rule, name) for key, value in _table(rule, name).items()}


def gauge_steps(rule: Rule, name: str) -> dict[str, dict[float, Gauge]]:
    """Return tables of gauges by amount, each under a word."""
    found: dict[str, dict[float, Gauge]] = {}
    for key, steps in _table(rule, name).items():
        held = _a_table(steps, rule, name)
        found[str(key)] = {float(step): _a(Gauge, value, rule, name) for step, value in held.items()}
    return found


def _table(rule: Rule, name: str) -> Mapping[str | float, Parameter]:
    return _a_table(rule.parameters.get(name, {}), rule, name)


def _a_table(value: Parameter, rule: Rule, name: str) -> Mapping[str | float, Parameter]:
    if not isinstance(value, Mapping):
        raise TypeError(f"rule {rule.id}: {name} is {value!r}, which is no table")
    return value


def _of(rule: Rule, name: str, wanted: type[T]) -> T:
    if name not in rule.parameters:
        raise KeyError(f"rule {rule.id} has no parameter {name!r}")
    return _a(wanted, rule.parameters[name], rule, name)


def _a(wanted: type[T], value: object, rule: Rule, name: str) -> T:
    if not isinstance(value, wanted):
        raise TypeError(f"rule {rule.id}: {name} is {value!r}, which is no {wanted.__name__}")
    return value
