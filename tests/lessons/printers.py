"""Printers who know less than the trade's rules: at random, and by guessing. A lesson must tell them from those who do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.enlarger.filters import GRADED_NAMES
from sim.negative.negative import Negative
from sim.scoring.ladder_bench import LadderBench, ends_of, read_of
from sim.scoring.start import Dials

GUESS_FACTOR = 1.5  # what someone without a strip changes the time by (assumption)


class AtRandom:
    """Another random setting for every sheet."""

    def __init__(self, bench: LadderBench, dials: list[Dials], rng: np.random.Generator):
        self.bench, self.dials, self.rng, self.sheets = bench, dials, rng, 0.0

    def go_on(self) -> None:
        """Set everything at random again."""
        self.dials = self.bench.random(self.rng)


class Guessing:
    """Too light: half as much time again. Too dark: so much less. Flat: one filter up. No strip, no measuring."""

    def __init__(self, bench: LadderBench, dials: list[Dials], rng: np.random.Generator):
        self.bench, self.dials, self.sheets = bench, dials, 0.0

    def go_on(self) -> None:
        """Change every sheet by what its tones look like."""
        turns = zip(self.dials, self.bench.slots(), strict=True)
        self.dials = [self._changed(dials, self.bench.negatives[index]) for dials, index in turns]

    def _changed(self, dials: Dials, negative: Negative) -> Dials:
        exercise = self.bench.exercise
        light, dark, _ = ends_of(self.bench, dials, negative)
        if light is None:
            return dials
        off = light.off(read_of(self.bench, dials, negative))
        dark_off = dark.off(read_of(self.bench, dials, negative)) if dark is not None else 0.0
        start = dials.start
        if abs(off) > light.tolerance and "time_s" in exercise.unlocked:
            factor = GUESS_FACTOR if off < 0 else 1.0 / GUESS_FACTOR
            start = replace(start, time_s=round(min(max(start.time_s * factor, 0.5), 600.0), 1))
        elif dark is not None and abs(dark_off) > dark.tolerance and "filter" in exercise.unlocked:
            start = replace(start, filter=_one_grade(start.filter, harder=dark_off < 0))
        return replace(dials, start=start)


def _one_grade(name: str, harder: bool) -> str:
    if name == "none":
        return name
    last = len(GRADED_NAMES) - 1
    return GRADED_NAMES[min(max(GRADED_NAMES.index(name) + (2 if harder else -2), 0), last)]
