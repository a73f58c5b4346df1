"""Ask a browser how it sets the texts of a drawing."""

from __future__ import annotations

import json
import re
import subprocess
from dataclasses import dataclass
from html import unescape
from pathlib import Path

from tests.chromium import FLAGS, Chromium

_ASK = """<script>
addEventListener("load", () => document.fonts.ready.then(() => {
  const said = [...document.querySelectorAll("svg text")].map(t => {
    const b = t.getBBox();
    return {text: [...t.childNodes].filter(n => n.nodeType === 3).map(n => n.data).join(""),
            width: t.getComputedTextLength(), left: b.x, right: b.x + b.width};
  });
  const loaded = [...document.fonts].every(f => f.status === "loaded");
  document.body.insertAdjacentHTML("beforeend", "<pre id=said></pre>");
  document.getElementById("said").textContent = JSON.stringify({loaded, said});
}));
</script>"""


@dataclass(frozen=True)
class Set:
    """One text as the browser set it [mm]."""

    text: str
    width: float
    left: float
    right: float


def set_texts(chromium: Chromium, svg: str, folder: Path) -> list[Set]:
    """Return every text of a drawing as the browser sets it, in order; the shipped fonts must have loaded."""
    page = folder / "page.html"
    page.write_text(f"<!doctype html><meta charset=utf-8><body>{svg.split('?>', 1)[1]}{_ASK}</body>", "utf-8")
    profile = f"--user-data-dir={folder / 'profile'}"
    words = [*FLAGS, profile, "--virtual-time-budget=8000", "--dump-dom", page.resolve().as_uri()]
    shown = subprocess.run([chromium.program, *words], capture_output=True, check=True, timeout=120, encoding="utf-8")
    found = re.search(r'<pre id="said">(.*?)</pre>', shown.stdout, re.DOTALL)
    assert found, "the browser did not answer"
    answer = json.loads(unescape(found[1]))
    assert answer["loaded"], "a shipped font did not load"
    return [Set(**said) for said in answer["said"]]
