"""The season's rules: judge a plan by them, and ask them what a wire may be."""

from loomwright.rulebook.cautions import cautions
from loomwright.rulebook.isolation import Isolation, chassis_isolation
from loomwright.rulebook.judge import judge
from loomwright.rulebook.minimum import (
    allowed_colours,
    battery_path_minimum,
    colour_allowed,
    minimum_for_use,
    minimum_gauge,
)
from loomwright.rulebook.registry import CHECKS

__all__ = [
    "CHECKS",
    "Isolation",
    "allowed_colours",
    "battery_path_minimum",
    "cautions",
    "chassis_isolation",
    "colour_allowed",
    "judge",
    "minimum_for_use",
    "minimum_gauge",
]
