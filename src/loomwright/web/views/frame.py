"""What every screen has around it: the robot, the plan, what people said of its state, the other screens."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any, Final

from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.looks_now import PAUSE_S
from loomwright.proof.wake_up_looks import MEASURING

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.records.event import Role
    from loomwright.records.fold import State

#: The looks that everybody answers who puts hands on wires; the rest belongs to measuring.
_WORK_LOOKS: Final = ("battery out", "main breaker off", "air vented", "lowered")
#: The screens: name, address, word.
TABS: Final = (
    ("ends", "/ends", "Ends"),
    ("pull", "/pull", "Pull"),
    ("wake-up", "/wake-up", "Wake-up"),
    ("spine", "/spine", "Spine"),
    ("plate", "/plate", "Plate"),
    ("hunt", "/hunt", "Hunt"),
    ("rack", "/rack", "Rack"),
    ("trace", "/trace", "Trace"),
    ("team", "/team", "Left"),
)
#: In reach of the thumb on a phone; all others are behind "More".
_BAR: Final = ("ends", "pull", "wake-up", "hunt")
#: Screens that will come.
_LATER: Final = ("Sag",)
_HANDS_ON: Final = ("ends", "pull", "wake-up", "trace")


def frame(view: BenchView, page: str, role: Role) -> dict[str, Any]:
    """Return what the base template needs for one screen."""
    robot, power = view.plan.robot, view.state.power_of(view.plan.robot.build)
    dangers = view.state.dangers
    looks = [look for look in view.looks if look.before == MEASURING and look.key in _WORK_LOOKS]
    waiting = sum(end.waits_for_pull for end in built_ends_of(view.groups))
    return {
        "page": page,
        "title": next((words for name, _, words in TABS if name == page), page.capitalize()),
        "robot": robot.name,
        "build": robot.build,
        "revision": view.plan.revision,
        "arrival": view.arrival,
        "danger_told": [f"{event.words}{', ' if event.about else ''}{event.about} ({event.who})" for event in dangers],
        "locks_told": {},
        "pause_s": round(PAUSE_S),
        "stale": view.stale,
        "role": str(role),
        "power": {"of": list(power.keys), "told_on": power.told_on},
        "state": (told := state_told(view.state, robot.build, [look.key for look in looks])),
        "mood": (mood := "stop" if dangers else "on" if power.told_on else "quiet"),
        "state_version": version_of([told, waiting, mood, [event.key for event in dangers]]),
        "work_looks": looks,
        "hands_on": page in _HANDS_ON,
        "tabs": [
            {"page": name, "href": href, "words": words, "count": waiting if name == "pull" else 0}
            for name, href, words in TABS
        ],
        "bar": _BAR,
        "later": _LATER,
    }


def state_told(state: State, build: str, looks: list[str]) -> dict[str, str]:
    """Return what people told of the robot's state, and that it is only what they told: words, and since when.

    When is when the laptop got it: a phone's clock may tell any year.
    `short` is the same where there is one line for it.
    """
    power = state.power_of(build)
    if power.on is not None:
        words = f"{power.on.who} told that power is on. Hands off."
        return {"words": words, "short": words, "at": state.received[power.on.key]}
    confirmed = {look: power.confirmations(look) for look in looks}
    if not looks or not all(confirmed.values()):
        since = "since power was last told on" if power.last else "yet"
        words = f"nobody has looked {since}."
        return {"words": words, "short": words, "at": ""}
    last = max((events[-1] for events in confirmed.values()), key=lambda event: state.places[event.key])
    words = f"{last.who} looked: {', '.join(looks)}. Look again before you touch it."
    return {"words": words, "short": f"{last.who} looked. Look again first.", "at": state.received[last.key]}


def version_of(told: object) -> str:
    """Return a short word that changes with what a part of a page shows."""
    text = json.dumps(told, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:12]
