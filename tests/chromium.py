"""A browser without a window that turns a page or a drawing into a picture."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

# Root may not use the sandbox; the rest keeps it from calling out and from asking anything.
FLAGS: Final = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
)


@dataclass(frozen=True, slots=True)
class Chromium:
    """The browser that was found on this machine."""

    program: Path

    def picture(self, page: Path, png: Path, *, width_px: int, height_px: int) -> None:
        """Render a file (SVG or HTML) into a PNG of this size; raise CalledProcessError if it can't."""
        with TemporaryDirectory(ignore_cleanup_errors=True) as profile:
            window = [f"--user-data-dir={profile}", f"--window-size={width_px},{height_px}", f"--screenshot={png}"]
            subprocess.run(
                [self.program, *FLAGS, *window, page.resolve().as_uri()], capture_output=True, check=True, timeout=120
            )
