"""The front door of the engine: studies, and how they are played. It brings numba along: import it where it works."""

from loomwright.match.engine.hot import engine_digest
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.study import LOT, Study, draw, is_ready, make_ready, play_study, room_for

__all__ = ["LOT", "Outcomes", "Study", "draw", "engine_digest", "is_ready", "make_ready", "play_study", "room_for"]
