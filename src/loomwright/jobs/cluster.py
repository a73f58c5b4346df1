"""A study on many machines: lots of matches go to the workers of a dask cluster and come back in any order.

What a match becomes depends on its study and its number alone, and each lot is written where it belongs. So the outcome
is that of one machine, whatever the number of workers and whoever is lost on the way (to the bit on one kind of
processor; between kinds sums may be fused otherwise).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.match.study import draw, engine_digest, play_study, room_for
from loomwright.search import SILENT, News

if TYPE_CHECKING:
    from loomwright.match.study import Outcomes, Study
    from loomwright.search import Watch

#: Matches that a worker plays at a time: some seconds on two cores.
LOT: Final = 2048
#: How often a lot is begun anew where its worker was lost.
_AGAIN: Final = 10
_WAIT_S: Final = 10.0


def play_on_cluster(study: Study, count: int, address: str, *, lot: int = LOT, watch: Watch = SILENT) -> Outcomes:
    """Play `count` matches on the cluster whose scheduler has this address ("tcp://host:8786").

    A worker that is lost costs the time of its lot. Where the watch is stopped, the matches before the first gap are
    returned.

    Raises
    ------
    UnreadableInputError
        Where distributed is not installed, nobody answers, or a worker runs another loomwright.
    """
    try:
        library: Any = import_module("distributed")  # an extra
    except ImportError as error:
        fix = 'Install it on this machine and on every worker: pip install "loomwright[cluster]".'
        raise UnreadableInputError([_refused("no-cluster-here", "distributed is not installed.", fix)]) from error
    starts = list(range(0, count, lot))
    room, done = room_for(study, draw(study, 0, count)), [False] * len(starts)
    try:
        client = library.Client(address, timeout=_WAIT_S, set_as_default=False)
    except (OSError, ValueError) as error:
        what = f"No cluster answers at {address}: {error}."
        raise UnreadableInputError(
            [_refused("no-cluster-there", what, "Start its scheduler, or look at the address.")]
        ) from error
    with client:
        held = client.scatter(study, broadcast=True)
        futures = client.map(
            play_lot,
            [(first, min(lot, count - first)) for first in starts],
            study=held,
            retries=_AGAIN,
            pure=False,
        )
        place = {future.key: number for number, future in enumerate(futures)}
        for ended, (future, (digest, *arrays)) in enumerate(
            library.as_completed(futures, with_results=True, loop=client.loop), 1
        ):
            if digest != engine_digest():
                client.cancel(futures)
                fix = "Install the same loomwright on every machine."
                raise UnreadableInputError([_refused("other-loomwright", "A worker runs another loomwright.", fix)])
            number = place[future.key]
            part = room.part(starts[number], min(starts[number] + lot, count))
            for kept, came in zip((part.matches, part.branches, part.ways), arrays, strict=True):
                kept[:] = came
            done[number] = True
            watch.tell(News(stage="matches", used=ended / len(starts), words=f"{min(ended * lot, count)} of {count}"))
            if watch.stopped:
                client.cancel(futures)
                break
    whole = next((i for i, ready in enumerate(done) if not ready), len(done))
    return room if whole == len(done) else room.part(0, min(whole * lot, count))


def play_lot(span: tuple[int, int], *, study: Study) -> tuple[object, ...]:
    """Play one lot on a worker: the digest of its engine, and the outcomes as arrays."""
    first, count = span
    outcomes = play_study(study, count, first=first, threads=1)
    return engine_digest(), outcomes.matches, outcomes.branches, outcomes.ways


def _refused(code: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(thing="match --cluster"), what, fix)
