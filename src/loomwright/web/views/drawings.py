"""The Plate and the Spine on a screen: the drawing to tap on, and the ends that are listed under it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from markupsafe import Markup

from loomwright.documents.json.bench import ends_data
from loomwright.records.ends import Standing
from loomwright.web.views.frame import version_of
from loomwright.web.views.lugs import STANDINGS, looks_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.jobs.bench import BenchView

#: The page's own style sheet has the fonts; a style inside of the page is not allowed to it.
_NOT_INLINE: Final = re.compile(r"<\?xml.*?\?>|<style>.*?</style>", re.DOTALL)
_ORDER: Final = (Standing.REDO, Standing.TO_DO, Standing.MADE, Standing.PULLED_ALONE, Standing.PULLED)


def drawing_screen(view: BenchView, svg: bytes, lit: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """Return what the template of a drawing needs; `svg` is the drawing as a file, `lit` what a hunt suspects."""
    told = ends_data(view.plan, view.groups)
    looks = looks_of(view.plan, told["groups"])
    ends = []
    for group in told["groups"]:
        for step in group["steps"]:
            wires = {wire["id"]: wire for wire in step["wires"]}
            worst = {name: _worst(step["ends"], name) for name in wires}
            for end in step["ends"]:
                name = f"{end['wire']} {end['end']}"
                ends.append(
                    {
                        "name": name,
                        "wire": end["wire"],
                        "device": end["as_planned"].get("device", ""),
                        "use": wires[end["wire"]]["use"],
                        "where": end["where"],
                        "said": looks[name]["said"],
                        "wire_standing": worst[end["wire"]],
                    }
                )
    # Our own drawing, whose writer escapes what people wrote; a test sends script through every name.
    drawing = Markup(_NOT_INLINE.sub("", svg.decode()))  # noqa: S704
    return {
        "drawing": drawing,
        "legend": [(str(standing), words) for standing, words in STANDINGS.items()],
        "ends": ends,
        "version": version_of(ends),
        "lit": lit,
        "lit_version": version_of(lit),
    }


def _worst(ends: list[dict[str, Any]], wire: str) -> str:
    """Return the standing of the end of a wire that is least far; an end that the file calls made is done."""
    here = [
        Standing.PULLED if end["made_by_file"] else Standing(end["standing"]) for end in ends if end["wire"] == wire
    ]
    return str(min(here, key=_ORDER.index, default=Standing.PULLED))
