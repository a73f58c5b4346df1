"""`loomwright size`: one wire, without a robot file."""

from __future__ import annotations

from collections.abc import Callable

import click

from loomwright.catalogue.protection_curve import trip_curve, trip_curve_kinds
from loomwright.cli.console import print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.size_words import bases_as_data, bases_in_words, in_words
from loomwright.sizing import DEFAULT_STOCK, OutOfTableError, Request, size
from loomwright.units.gauge import Gauge
from loomwright.units.quantity import Dimension, QuantityError, read

_LIST = "list"
_COPPER = "copper"
_ALL_PCT = 100
_ABOVE_ZERO = frozenset({Dimension.LENGTH, Dimension.CURRENT, Dimension.VOLTAGE, Dimension.RATIO})
_EXAMPLES = """\b
Examples:
  loomwright size --current "40 A" --one-way "1.2 m"
  loomwright size --current 9A --circuit 12ft --drop 0.5V --protection 20A
  loomwright size --basis list"""
_Callback = Callable[[click.Context, click.Parameter, str | None], float | None]


def _read(text: str, dimension: Dimension) -> float:
    """Read an amount with its unit; a fault becomes a usage error in the words of the reader."""
    try:
        amount = read(text, dimension)
    except QuantityError as error:
        raise click.BadParameter(f"{error.what} {error.fix}") from error
    if amount == 0 and dimension in _ABOVE_ZERO:
        raise click.BadParameter(f"`{text}` must be above zero.")
    return amount


def _amount(dimension: Dimension) -> _Callback:
    """Build the reader of an option that takes an amount of this dimension."""

    def reader(_ctx: click.Context, _param: click.Parameter, text: str | None) -> float | None:
        return None if text is None else _read(text, dimension)

    return reader


def _percent(_ctx: click.Context, _param: click.Parameter, text: str) -> float:
    """Read "60 %" or "60" as 60 percent."""
    percent = _read(text if text.strip().endswith("%") else f"{text} %", Dimension.RATIO) * 100
    if percent > _ALL_PCT:
        raise click.BadParameter(f"`{text}` is more than all of the bundle's capacity; write up to 100 %.")
    return percent


def _stock(_ctx: click.Context, _param: click.Parameter, text: str | None) -> tuple[Gauge, ...]:
    """Read gauges between commas, such as "12, 10, 8"."""
    try:
        return DEFAULT_STOCK if text is None else tuple(dict.fromkeys(map(Gauge.parse, text.split(","))))
    except ValueError as error:
        raise click.BadParameter(f"{error}. Write gauges such as `16, 14, 12` or `2, 1/0`.") from error


def _refuse_stray(_ctx: click.Context, _param: click.Parameter, words: tuple[str, ...]) -> None:
    if words:
        raise click.UsageError(
            f"`{words[0]}` stands alone. Put an amount with a space in it between quotes, or leave the space out."
        )


@click.command(name="size", epilog=_EXAMPLES)
@click.argument("stray", nargs=-1, metavar="", is_eager=True, expose_value=False, callback=_refuse_stray)
@click.option("--current", "current_a", callback=_amount(Dimension.CURRENT), help='The load, such as "40 A" or 40A.')
@click.option("--one-way", "one_way_m", callback=_amount(Dimension.LENGTH), help="Length of one wire, supply to load.")
@click.option("--circuit", "circuit_m", callback=_amount(Dimension.LENGTH), help="Length of the loop, out and back.")
@click.option(
    "--supply",
    "supply_v",
    callback=_amount(Dimension.VOLTAGE),
    default="12 V",
    show_default=True,
    help="What the drop is a percentage of.",
)
@click.option(
    "--drop",
    default="3 %",
    show_default=True,
    help="Largest drop over the loop, in % or V. Published tables keep 3 % for loads that matter and 10 % for others.",
)
@click.option(
    "--ambient",
    "ambient_c",
    callback=_amount(Dimension.TEMPERATURE),
    default="30 C",
    show_default=True,
    help="The air around the wire.",
)
@click.option(
    "--insulation",
    "insulation_c",
    callback=_amount(Dimension.TEMPERATURE),
    default="105 C",
    show_default=True,
    help="What the insulation stands, as printed on it.",
)
@click.option(
    "--bundle",
    "bundle_wires",
    type=click.IntRange(1, 10_000),
    default=1,
    show_default=True,
    metavar="N",
    help="Loaded wires that run together, this one counted.",
)
@click.option(
    "--loading",
    "loading_pct",
    callback=_percent,
    default="100 %",
    show_default=True,
    metavar="PCT",
    help="How much of the bundle's capacity is used.",
)
@click.option(
    "--protection", "protection_a", callback=_amount(Dimension.CURRENT), help="Rating of the fuse or breaker in front."
)
@click.option(
    "--hold", "hold_a", callback=_amount(Dimension.CURRENT), help="Current that the protection carries for ever."
)
@click.option("--curve", type=click.Choice(trip_curve_kinds()), help="Kind of protection, to judge a dead short.")
@click.option(
    "--fault", "fault_current_a", callback=_amount(Dimension.CURRENT), help="Current of a dead short, with --curve."
)
@click.option("--basis", default="cm-10.75", show_default=True, help="What a wire drops; `list` shows all bases.")
@click.option(
    "--conductor-temperature",
    "conductor_c",
    callback=_amount(Dimension.TEMPERATURE),
    help="Of the copper, for --basis copper.  [default: 20 C]",
)
@click.option(
    "--ampacity-basis", default="cfr-183.425", show_default=True, help="What a wire may carry; `list` shows all bases."
)
@click.option(
    "--thin-basis", "thin_wire_basis", help="Ampacity basis for gauges that are too thin for the first one's table."
)
@click.option(
    "--stock",
    callback=_stock,
    help=f"Gauges to choose from.  [default: {', '.join(gauge.label for gauge in DEFAULT_STOCK)}]",
)
@click.option("--json", "as_json", is_flag=True, help="Write the answer for a script.")
def command(
    *,
    current_a: float | None,
    one_way_m: float | None,
    circuit_m: float | None,
    supply_v: float,
    drop: str,
    ambient_c: float,
    insulation_c: float,
    bundle_wires: int,
    loading_pct: float,
    protection_a: float | None,
    hold_a: float | None,
    curve: str | None,
    fault_current_a: float | None,
    basis: str,
    conductor_c: float | None,
    ampacity_basis: str,
    thin_wire_basis: str | None,
    stock: tuple[Gauge, ...],
    as_json: bool,
) -> None:
    """Find the gauge for one wire, and say why."""
    if _LIST in (basis, ampacity_basis):
        _show_bases(as_json=as_json)
        return
    if current_a is None:
        raise click.UsageError('Say the current: --current "40 A".')
    if conductor_c is not None and basis != _COPPER:
        raise click.UsageError("--conductor-temperature counts for --basis copper only; the other bases fix their own.")
    if (curve is None) != (fault_current_a is None) or (curve is not None and protection_a is None):
        raise click.UsageError("A dead short is judged from all three: --curve, --fault and --protection.")
    request = Request(
        current_a=current_a,
        one_way_m=_one_way_m(one_way_m, circuit_m),
        supply_v=supply_v,
        allowed_drop_v=_allowed_drop_v(drop, supply_v=supply_v),
        drop_basis=basis,
        conductor_c=20.0 if conductor_c is None else conductor_c,
        ampacity_basis=ampacity_basis,
        thin_wire_basis=thin_wire_basis,
        insulation_c=insulation_c,
        ambient_c=ambient_c,
        bundle_wires=bundle_wires,
        loading_pct=loading_pct,
        protection_a=protection_a,
        hold_a=hold_a,
        trip_curve=None if curve is None else trip_curve(curve),
        fault_current_a=fault_current_a,
        stock=stock,
    )
    _answer(request, as_json=as_json)


def _answer(request: Request, *, as_json: bool) -> None:
    """Size the wire and write the answer; exit code 1 where no stocked gauge fits."""
    try:
        sizing = size(request)
    except OutOfTableError as error:
        raise click.UsageError(f"{error.what} {error.fix}") from error
    if as_json:
        print_json(sizing.as_dict())
    else:
        click.echo(in_words(request, sizing))
    if sizing.gauge is None:
        raise click.exceptions.Exit(MUST_FIX)


def _show_bases(*, as_json: bool) -> None:
    if as_json:
        print_json(bases_as_data())
    else:
        click.echo(bases_in_words())


def _one_way_m(one_way_m: float | None, circuit_m: float | None) -> float:
    """Return the length of one conductor [m]; which length was meant must be said."""
    if one_way_m is not None and circuit_m is None:
        return one_way_m
    if circuit_m is not None and one_way_m is None:
        return circuit_m / 2
    raise click.UsageError(
        "Say one of --one-way LENGTH (supply to load) and --circuit LENGTH (the whole loop, twice as long). "
        "Some published tables mean the one and some the other, so it is never guessed."
    )


def _allowed_drop_v(text: str, *, supply_v: float) -> float:
    """Read the allowed drop as a share of the supply or in volts, and return volts."""
    if text.strip().replace(".", "", 1).isdecimal():
        raise click.BadParameter(
            f"`{text}` has no unit. Write `{text} %`, or volts such as `0.6 V`.", param_hint="--drop"
        )
    try:
        share = text.strip().endswith("%")
        allowed_v = _read(text, Dimension.RATIO) * supply_v if share else _read(text, Dimension.VOLTAGE)
    except click.BadParameter as error:
        raise click.BadParameter(
            f"{error.message} A drop is written as `3 %` or `0.36 V`.", param_hint="--drop"
        ) from error
    if allowed_v >= supply_v:
        raise click.BadParameter(f"`{text}` would leave nothing of the {supply_v:g} V supply.", param_hint="--drop")
    return allowed_v
