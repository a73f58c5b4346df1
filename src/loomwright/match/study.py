"""The front door of the engine: studies, and how they are played. It brings numba along: import it where it works."""

from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.study import LOT, Study, is_ready, make_ready, play_study

__all__ = ["LOT", "Outcomes", "Study", "is_ready", "make_ready", "play_study"]
