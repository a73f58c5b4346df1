"""Make the shipped fonts and their metrics from the families' full releases.

    python tools/subset_fonts.py FOLDER
    python tools/subset_fonts.py --unpack

FOLDER holds the four TTF files named in `FACES`, as their families release them. Their SHA-256 is
checked, so the same files always give the same bytes. For each face this writes a WOFF2 file with
the characters a wiring sheet needs, the same unpacked as TTF for the packet (`--unpack` makes those alone, from
the WOFF2 files that are there), and for all of them one `metrics.json` that the program measures
text with at run time (there it needs neither fonttools nor brotli).

Three things differ from the originals, which the licence (SIL OFL 1.1, no reserved names) allows:

- the tabular figures are the figures, so that numbers line up in every program that shows them;
- all layout rules are dropped except kerning, and kerning is kept between ASCII characters only,
  so that width is the sum of advances and listed pairs, and the metrics can say it exactly;
- the names say so: "Loom Text", "Loom Tag", "Loom Symbol".
"""

from __future__ import annotations

import hashlib
import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.pens.boundsPen import BoundsPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

OUT = Path(__file__).resolve().parent.parent / "src" / "loomwright" / "data" / "fonts"

ASCII = "".join(map(chr, range(0x20, 0x7F)))
LATIN = "".join(map(chr, [*range(0xA0, 0x180), *range(0x218, 0x21C)])).replace("\xad", "")
PRINT = "–—‘’‚“”„†•…‰€−∙√∞≈≠≤≥ΔΩμπ"  # noqa: RUF001 - the signs are the point
SYMBOLS = "←↑→↓↔✓✗●○■□▲△▶▷◀◁⚠′″µΩΔ≤≥"
# Two code points, one sign: the micro sign and the ohm sign are the Greek letters.
TWINS = {0xB5: 0x3BC, 0x2126: 0x3A9, 0x2206: 0x394}


@dataclass(frozen=True)
class Source:
    """A released font file, what it becomes, and the characters to keep."""

    file: str
    sha256: str
    name: str
    style: str
    out: str
    keep: str


FACES = {
    "text": Source(
        "AtkinsonHyperlegibleNext_400Regular.ttf",
        "60f8c1a1b2e7da47ff7af95c3e5b5b1232ca5b3771e93eb587784f08fb1e6650",
        "Loom Text", "Regular", "loom-text-regular.woff2", ASCII + LATIN + PRINT,
    ),
    "bold": Source(
        "AtkinsonHyperlegibleNext_700Bold.ttf",
        "4ba7415b7095e546720446b6d47daa95d6f482d9fd40c729793e21d67cc9f366",
        "Loom Text", "Bold", "loom-text-bold.woff2", ASCII + LATIN + PRINT,
    ),
    "tag": Source(
        "BarlowCondensed_600SemiBold.ttf",
        "571bbdabf1bca470ee84d51b77fe02ed3b9efa26d75799ef3dd8dd87b38ba9e0",
        "Loom Tag", "SemiBold", "loom-tag-semibold.woff2", ASCII + LATIN + PRINT,
    ),
    "symbol": Source(
        "Inter_500Medium.ttf",
        "f1738576525e86db1d5cf63a6c1b56e0a7e2a2898b499ac93db95f2e7a9f9cd5",
        "Loom Symbol", "Medium", "loom-symbol-medium.woff2", SYMBOLS,
    ),
}  # fmt: skip


def main(folder: Path) -> None:
    """Write every face and the metrics; stop with a sentence if a source file is not the expected one."""
    OUT.mkdir(parents=True, exist_ok=True)
    metrics = {key: make(source, folder) for key, source in FACES.items()}
    text = json.dumps({"upm": 1000, "faces": metrics}, ensure_ascii=False, indent=None, separators=(",", ":"))
    (OUT / "metrics.json").write_text(text.replace('"faces"', '\n"faces"').replace('},"', '},\n"') + "\n", "utf-8")
    unpack()
    for file in sorted(OUT.iterdir()):
        print(f"{file.stat().st_size:8d}  {file.name}")


def make(source: Source, folder: Path) -> dict[str, Any]:
    """Write one face as WOFF2 and return its metrics in thousandths of the type size."""
    data = (folder / source.file).read_bytes()
    if hashlib.sha256(data).hexdigest() != source.sha256:
        sys.exit(f"{source.file} is not the release that this project was made with (SHA-256 {source.sha256})")
    font = TTFont(folder / source.file, recalcTimestamp=False)
    set_figures(font)
    pairs = kerning(font)
    subset(font, source.keep)
    set_kerning(font, pairs)
    rename(font, source)
    font.flavor = "woff2"
    font.save(OUT / source.out)
    return measured(TTFont(OUT / source.out), pairs)


def unpack() -> None:
    """Write each WOFF2 file once more as TTF, which is what the writer of PDF reads."""
    for source in FACES.values():
        font = TTFont(OUT / source.out, recalcTimestamp=False)
        font.flavor = None
        font.save((OUT / source.out).with_suffix(".ttf"))


def set_figures(font: TTFont) -> None:
    """Let the tabular figures be what the digits mean, and give the twin signs a glyph."""
    tabular: dict[str, str] = {}
    for lookup in lookups(font, "GSUB", "tnum"):
        for table in lookup.SubTable:
            tabular |= getattr(table, "ExtSubTable", table).mapping
    for table in font["cmap"].tables:
        if not table.isUnicode():
            continue
        for code in range(ord("0"), ord("9") + 1):
            table.cmap[code] = tabular.get(table.cmap[code], table.cmap[code])
        for code, twin in TWINS.items():
            if code not in table.cmap and twin in table.cmap:
                table.cmap[code] = table.cmap[twin]


def lookups(font: TTFont, table: str, feature: str) -> list[Any]:
    """List the lookups of a layout feature once each, in order."""
    layout = font[table].table
    records = [r.Feature for r in layout.FeatureList.FeatureRecord if r.FeatureTag == feature]
    numbers = sorted({n for record in records for n in record.LookupListIndex})
    return [layout.LookupList.Lookup[n] for n in numbers]


def kerning(font: TTFont) -> dict[str, dict[str, int]]:
    """Read the kerning between ASCII characters: {left: {right: thousandths}}, zeroes left out."""
    names = {char: font.getBestCmap()[ord(char)] for char in ASCII}
    per_thousand = 1000 / font["head"].unitsPerEm
    pairs: dict[str, dict[str, int]] = {}
    for left, left_name in names.items():
        for right, right_name in names.items():
            value = sum(pair_value(lookup, left_name, right_name) for lookup in lookups(font, "GPOS", "kern"))
            if value:
                pairs.setdefault(left, {})[right] = round(value * per_thousand)
    return pairs


def pair_value(lookup: Any, left: str, right: str) -> int:  # noqa: ANN401 - fonttools has no types for tables
    """Return what one pair lookup adds between two glyphs; the first subtable that covers the pair decides."""
    for raw in lookup.SubTable:
        table = getattr(raw, "ExtSubTable", raw)
        if left not in table.Coverage.glyphs:
            continue
        if table.Format == 1:
            records = table.PairSet[table.Coverage.glyphs.index(left)].PairValueRecord
            found = [r.Value1 for r in records if r.SecondGlyph == right]
            if not found:
                continue
            value = found[0]
        else:
            row = table.Class1Record[table.ClassDef1.classDefs.get(left, 0)]
            value = row.Class2Record[table.ClassDef2.classDefs.get(right, 0)].Value1
        return getattr(value, "XAdvance", 0) if value else 0
    return 0


def subset(font: TTFont, keep: str) -> None:
    """Drop every other character, every layout rule and the hints."""
    options = Options()
    options.layout_features = []
    options.hinting = False
    options.notdef_outline = True
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "STAT", "DSIG", "meta"]
    chars = {ord(c) for c in keep}
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=chars | {code for code, twin in TWINS.items() if twin in chars})
    subsetter.subset(font)


def set_kerning(font: TTFont, pairs: dict[str, dict[str, int]]) -> None:
    """Write the listed pairs, and nothing else, as the font's kerning."""
    if not pairs or "A" not in map(chr, font.getBestCmap()):
        pairs.clear()
        return
    names = font.getBestCmap()
    scale = font["head"].unitsPerEm / 1000
    rules = [
        f"pos {names[ord(left)]} {names[ord(right)]} {round(value * scale)};"
        for left, row in pairs.items()
        for right, value in row.items()
    ]
    addOpenTypeFeaturesFromString(font, "feature kern {\n" + "\n".join(rules) + "\n} kern;")


def rename(font: TTFont, source: Source) -> None:
    """Give the changed font its own name, and keep its copyright and licence lines."""
    table = font["name"]
    full = f"{source.name} {source.style}"
    names = {1: full, 2: "Regular", 4: full, 6: full.replace(" ", ""), 16: source.name, 17: source.style}
    table.names = [r for r in table.names if r.nameID in {0, 13, 14} and r.platformID == 3]  # noqa: PLR2004
    for number, value in names.items():
        table.setName(value, number, 3, 1, 0x409)


def measured(font: TTFont, pairs: dict[str, dict[str, int]]) -> dict[str, Any]:
    """Measure a finished face: [advance, lowest ink, highest ink] a character, in thousandths."""
    per_thousand = 1000 / font["head"].unitsPerEm
    glyphs = font.getGlyphSet()
    chars: dict[str, list[int]] = {}
    for code, name in sorted(font.getBestCmap().items()):
        pen = BoundsPen(glyphs)
        glyphs[name].draw(pen)
        _, low, _, high = pen.bounds or (0, 0, 0, 0)
        chars[chr(code)] = [round(v * per_thousand) for v in (font["hmtx"][name][0], low, high)]
    return {
        "cap": round(font["OS/2"].sCapHeight * per_thousand),
        "x": round(font["OS/2"].sxHeight * per_thousand),
        "chars": chars,
        "kern": pairs,
    }


if __name__ == "__main__":
    if len(sys.argv) != 2:  # noqa: PLR2004 - the script and one folder
        sys.exit(__doc__)
    if sys.argv[1] == "--unpack":
        unpack()
    else:
        main(Path(sys.argv[1]))
