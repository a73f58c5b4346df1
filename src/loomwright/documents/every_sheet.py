"""What every drawing and page says."""

from __future__ import annotations

from typing import Final

CAUTION: Final = "Battery out, main breaker off before any work – look, don't assume."
STOP: Final = "If a sheet and the laptop disagree, stop and ask."
LAST_WORD: Final = f"{STOP} The season's rule book comes first."
