"""Short drills on one decision, each on a picture and answered in seconds: what there are, and the next item of one.

They grow finer when the last answers were near and coarser when they were far.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from sim.refusals import Refused
from sim.scoring.syllabus import read_syllabus
from sim.teaching.drill_item import DrillItem
from sim.teaching.drills_of_reckoning import (
    beside_the_finished_print,
    filter_from_the_range,
    new_aperture_new_seconds,
    read_the_strip,
    say_the_burn,
)
from sim.teaching.drills_of_the_eye import find_the_trace, prints_in_a_ring, which_is_harder, which_is_lighter

FIRST_DIFFICULTY = 0.3
LEAST_SEEN_L = 1.0  # L*: what is seen between two even fields on a screen that is well set; a step scale tells
TRIES = 8

Maker = Callable[[np.random.Generator, float], DrillItem]
DRILLS: dict[str, tuple[str, Maker]] = {
    "read-the-strip": ("Which step is right?", read_the_strip),
    "which-is-lighter": ("Two prints: which is lighter, and by how much?", which_is_lighter),
    "which-is-harder": ("Two prints: which is harder?", which_is_harder),
    "prints-in-a-ring": ("Nine prints without labels", prints_in_a_ring),
    "find-the-trace": ("Find the trace of the card", find_the_trace),
    "filter-from-the-range": ("Filter from the range", filter_from_the_range),
    "say-the-burn": ("Say the burn in stops", say_the_burn),
    "beside-the-finished-print": ("Time and filter beside a finished print", beside_the_finished_print),
    "new-aperture-new-seconds": ("New aperture or height, new seconds", new_aperture_new_seconds),
}
DRILL_OF_SKILL = {  # of skills that have no drill of their own in the syllabus
    "strip-on-the-tone": "read-the-strip", "keep-the-highlight": "beside-the-finished-print",
    "size-and-time": "new-aperture-new-seconds", "height-aperture-trade": "new-aperture-new-seconds",
}  # fmt: skip


def difficulty(errors: Sequence[float]) -> float:
    """Return how fine the next item is, 0 to 1, from how far off (in tolerances) the last answers were."""
    if not errors:
        return FIRST_DIFFICULTY
    mean = float(np.mean(np.minimum(errors, 3.0)))
    return float(np.clip(1.0 - 0.5 * mean, 0.0, 1.0))


def draw_item(
    drill: str, generator: np.random.Generator, errors: Sequence[float] = (), least_seen_l: float = LEAST_SEEN_L
) -> DrillItem:
    """Return the next item of a drill, as fine as the last errors (in tolerances) allow.

    What differs by less lightness than the learner's screen shows (``least_seen_l``, L*) is not asked: another is drawn, at
    last easier ones. Raises Refused for the drill's name, and where nothing that shows could be drawn.
    """
    if drill not in DRILLS:
        raise Refused(f"drill must be one of {', '.join(DRILLS)}, got {drill[:60]!r}")
    for k in range(TRIES):
        item = DRILLS[drill][1](generator, difficulty(errors) * (1.0 - k / TRIES))
        if item.seen_l >= least_seen_l:
            return item
    raise Refused(f"none of {TRIES} items drawn differs by {least_seen_l:g} L*, which is what this screen is said to show")


def drill_for(skill: str) -> str:
    """Return the drill that recalls a skill: the syllabus's own one; the strip is the root of them all."""
    own = [drill.slug for drill in read_syllabus().drills if drill.skill == skill and drill.slug in DRILLS]
    return own[0] if own else DRILL_OF_SKILL.get(skill, "read-the-strip")
