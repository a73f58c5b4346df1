"""The parameters of one rule, read by the kinds that its check declares."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_code, colour_names
from loomwright.robotfile.forms.facts import NotReadableError
from loomwright.robotfile.forms.leaves import Branch, Leaf, Row
from loomwright.robotfile.parts.part_fields import Fields, did_you_mean
from loomwright.rulebook.minimum import WITH_STRIPE
from loomwright.rulebook.parameters import Amount, Colour, Several, Size, Table, Word
from loomwright.units import Gauge, QuantityError, read
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from loomwright.model.rules import Parameter
    from loomwright.robotfile.forms.leaves import Raw
    from loomwright.rulebook.check import Check
    from loomwright.rulebook.parameters import Kind


def read_parameters(rule: Fields, check: Check, *, whole: bool) -> dict[str, Parameter]:
    """Read the parameters of a rule; `whole` asks for all that the check needs. Faults are noted."""
    raw = rule.get("parameters")
    kinds = check.kinds
    if raw is None:
        held: dict[str, Parameter] = {}
    elif not kinds:
        rule.fault_at_key(
            "parameters", "no-parameters", f"The check {quoted(check.name)} takes no parameters.", "Take them out."
        )
        held = {}
    else:
        fields = Fields(raw, rule.faults, what=f"the parameters of {quoted(check.name)}", keys=tuple(kinds))
        held = dict(_values(fields, raw, kinds))
    missing = [name for name in check.parameters if whole and name not in held and not _written(raw, name)]
    if missing:
        rule.fault_here(
            "missing-parameter",
            f"The check {quoted(check.name)} needs {listed([quoted(name) for name in missing], 'and')}.",
            f"Write `parameters: {{{missing[0]}: ...}}`.",
        )
    return held


def merged(below: Mapping[str, Parameter], above: Mapping[str, Parameter]) -> dict[str, Parameter]:
    """Lay parameters over those of the book below; tables key by key, everything else as a whole."""
    laid: dict[str, Parameter] = dict(below)
    for name, value in above.items():
        laid[name] = _over(laid.get(name), value)
    return laid


def _over(below: Parameter | None, above: Parameter) -> Parameter:
    if not isinstance(below, Mapping) or not isinstance(above, Mapping):
        return above
    laid: dict[str | float, Parameter] = dict(below)
    for key, value in above.items():
        laid[key] = _over(laid.get(key), value)
    return laid


def _written(raw: Raw | None, name: str) -> bool:
    return isinstance(raw, Branch) and name in raw


def _values(fields: Fields, raw: Raw, kinds: Mapping[str, Kind]) -> list[tuple[str, Parameter]]:
    names = [name for name in raw if name in kinds] if isinstance(raw, Branch) else []
    read_so_far = ((name, _value(fields, raw[name], kinds[name])) for name in names) if isinstance(raw, Branch) else ()
    return [(name, value) for name, value in read_so_far if value is not None]


def _value(fields: Fields, raw: Raw, kind: Kind) -> Parameter | None:
    if isinstance(kind, Table):
        return _table(fields, raw, kind)
    if isinstance(kind, Several):
        items = raw if isinstance(raw, Row) else [raw]
        return tuple(v for item in items if isinstance(v := _value(fields, item, kind.of), str))
    return fields.read(raw, lambda text: _plain(text, kind))


def _table(fields: Fields, raw: Raw, kind: Table) -> Parameter | None:
    if not isinstance(raw, Branch):
        fields.fault("bad-form", raw, "A table of keys and values belongs here.", "Write `{key: value}`.")
        return None
    held: dict[str | float, Parameter] = {}
    for key in raw:
        name = fields.read(Leaf(key, raw.key_marks[key], f"{raw.path}.{key}"), lambda text: _plain(text, kind.key))
        value = _value(fields, raw[key], kind.value)
        if isinstance(name, (str, float)) and value is not None:
            held[name] = value
    return held


def _plain(text: str, kind: Kind) -> Parameter:
    """Read one plain value; raise QuantityError or NotReadableError."""
    if isinstance(kind, Amount):
        return read(text, kind.dimension)
    if isinstance(kind, Size):
        return _gauge(text)
    if isinstance(kind, Colour):
        return _colour(text)
    tidy = " ".join(text.split())
    options = kind.options if isinstance(kind, Word) else ()
    if options and tidy not in options:
        raise NotReadableError("unknown-word", f"{quoted(tidy)} is not known here.", did_you_mean(tidy, options))
    return tidy


def _gauge(text: str) -> Gauge:
    try:
        return Gauge.parse(text)
    except ValueError as error:
        raise QuantityError(f"{quoted(text)} is not a wire gauge.", "Write a gauge such as `12 AWG`.") from error


def _colour(text: str) -> str:
    body = text.strip()
    striped = body.casefold().endswith(WITH_STRIPE)
    code = colour_code(body[: -len(WITH_STRIPE)] if striped else body)
    if code is None:
        close = nearest(text, colour_names(), limit=1)
        hint = f"Did you mean `{close[0]}`? " if close else ""
        raise NotReadableError(
            "unknown-colour",
            f"{quoted(text)} is not a wire colour.",
            f"{hint}Use a word such as `red`, a code such as `RD`, or `black with stripe`.",
        )
    return code + WITH_STRIPE if striped else code
