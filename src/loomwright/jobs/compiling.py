"""Compile what plays matches, once: at set-up, or before the first match that anybody plays."""

from __future__ import annotations

import time
from threading import Event, Thread
from typing import TYPE_CHECKING, Final

from loomwright.match.study import is_ready, make_ready
from loomwright.search import SILENT, News

if TYPE_CHECKING:
    from loomwright.search import Watch

#: What it takes on a usual laptop [s]; only the bar for waiting people knows it.
_USUAL_S: Final = 15.0
_TELL_S: Final = 0.25
STAGE: Final = "getting ready to play matches, once"


def compile_once(watch: Watch = SILENT) -> bool:
    """Compile the kernel where that was not done before, telling how far it may be; return whether it had to."""
    if is_ready():
        return False
    done, start = Event(), time.monotonic()  # noqa: TID251  a person waits

    def tell() -> None:
        while not done.wait(_TELL_S):
            used = (time.monotonic() - start) / _USUAL_S  # noqa: TID251
            watch.tell(News(stage=STAGE, used=min(0.99, used), words=f"{min(99, round(100 * used))} %"))

    thread = Thread(target=tell, daemon=True)
    thread.start()
    try:
        make_ready()
    finally:
        done.set()
        thread.join()
    return True
