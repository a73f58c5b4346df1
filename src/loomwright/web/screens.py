"""What screens fetch, as bytes, made once for each state of the bench however many phones ask."""

from __future__ import annotations

import json
from collections.abc import Callable
from threading import RLock
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.json.bench import ends_data, hunt_data, wake_up_data
from loomwright.documents.svg import write
from loomwright.proof.as_built.looks_now import standing_now
from loomwright.web.packed import Packed, pack
from loomwright.web.views.cards import picture_of
from loomwright.web.views.frame import version_of
from loomwright.web.views.wake_up import moment

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.plan.result import Plan
    from loomwright.records.event import Role
    from loomwright.web.views.drawn import Drawn

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"


class Screens:
    """Keeps the newest of each; whatever thread asks."""

    def __init__(self) -> None:
        """Begin with nothing made."""
        self._lock = RLock()
        self._held: dict[str, Packed] = {}
        self._pages: dict[str, tuple[str, bytes]] = {}

    def bench(self, view: BenchView, role: Role, now: str) -> Packed:
        """Return the whole bench as JSON for one role, as it stands now [UTC]."""
        looks = version_of(standing_now(view.state, view.plan.robot.build, now))
        tag = "-".join([view.edition, str(view.arrival), str(role), looks, *(["stale"] if view.stale else [])])
        return self._kept(f"bench {role}", tag, lambda: _as_json(bench_data(view, role, now)), JSON)

    def page(self, name: str, tag: str, make: Callable[[], bytes]) -> bytes:
        """Return a page, made once for each tag: whoever signs, all who listen come for the page at once."""
        with self._lock:
            held = self._pages.get(name)
            if held is None or held[0] != tag:
                held = self._pages[name] = tag, make()
            return held[1]

    def drawing(self, name: str, view: BenchView) -> Packed:
        """Return the drawing "plate" or "spine" of the plan; drawn when it is first asked for."""
        return self._kept(name, f"{name}-{view.edition}", lambda: _DRAWN[name](view.plan), SVG)

    def picture(self, number: int, nth: int, view: BenchView, drawn: Drawn) -> Packed | None:
        """Return a picture of one kind of end, None where the plan has none of that number."""
        found = picture_of(view, number, nth, drawn)
        if found is None:
            return None
        name = f"card {number}-{nth}"
        return self._kept(name, f"{name}-{view.edition}".replace(" ", "-"), lambda: write(found.scene).encode(), SVG)

    def _kept(self, name: str, tag: str, make: Callable[[], bytes], kind: str) -> Packed:
        with self._lock:
            held = self._held.get(name)
            if held is None or held.tag != tag:
                held = self._held[name] = pack(make(), kind, tag=tag)
            return held


def bench_data(view: BenchView, role: Role, now: str) -> dict[str, Any]:
    """Return everything that screens show at a moment [UTC], with what stands behind it."""
    build = view.plan.robot.build
    return {
        "arrival": view.arrival,
        "robot": view.plan.robot.name,
        "build": build,
        "revision": view.plan.revision,
        "stale": view.stale,
        "role": str(role),
        "settings": {name: view.state.setting(name) for name in view.state.settings},
        "ends": ends_data(view.plan, view.groups),
        "hunt": hunt_data(view.state.hunt(build)),
        "wake_up": wake_up_data(moment(view, now)),
    }


def _as_json(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def _plate(plan: Plan) -> bytes:
    from loomwright.documents.plate.plan import plate_svg  # noqa: PLC0415  only where it is drawn

    return plate_svg(plan)


def _spine(plan: Plan) -> bytes:
    from loomwright.documents.spine.plan import spine_svg  # noqa: PLC0415  only where it is drawn

    return spine_svg(plan)


_DRAWN: Final = {"plate": _plate, "spine": _spine}
