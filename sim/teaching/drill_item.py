"""One question of a drill, and how its answer is marked: right or not, how far off, cause and direction in words."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.filters import GRADE_OF_FILTER, GRADED_NAMES
from sim.quantities import factor_to_stops
from sim.refusals import Refused
from sim.teaching.lesson_step import Choice

FILTERS = GRADED_NAMES  # what an answer can name, soft to hard
MOST_ERROR = 20.0  # an answer in the wrong world counts as this many tolerances off
TOLD_OFF_STOPS = 0.005  # nearer is as right as two decimals can say
_NUMBER = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,3})?")


@dataclass(frozen=True, eq=False)
class DrillItem:
    """One question. ``answer_s`` / ``answer_stops`` / ``answer_filter`` / ``answer_choice`` hold what is right.

    ``tolerance`` is in stops for times and burns; ``filter_tolerance`` in filter steps; ``off`` says of every choice how far
    off it is, in tolerances. ``touched`` says where on the picture a choice can be touched: its key, or the part of it before
    the first hyphen, and a point in shares of the picture's width and height. ``rule_s`` is what the trade's rule gives,
    right too. ``board`` is the picture to look at, screen values [row, col]. ``numbers`` is what the densitometer says, told
    with the mark and never before.
    """

    drill: str
    question: str
    facts: tuple[str, ...]
    form: str
    tolerance: float
    board: NDArray[np.uint8]
    answer_s: float | None = None
    rule_s: float | None = None
    answer_stops: float | None = None
    answer_filter: str | None = None
    filter_tolerance: float = 0.5
    choices: tuple[Choice, ...] = ()
    answer_choice: str = ""
    off: tuple[float, ...] = ()
    touched: tuple[tuple[str, float, float], ...] = ()
    reason: str = ""
    numbers: tuple[str, ...] = ()
    seen_l: float = 100.0


@dataclass(frozen=True)
class DrillAnswer:
    """How an answer was: right or not, how far off in tolerances, and cause, direction and size in words."""

    right: bool
    error: float
    words: str


def answer_item(item: DrillItem, text: str) -> DrillAnswer:
    """Return how an answer was. Raises Refused for text that answers something else."""
    error, parts = _chosen(item, text) if item.choices else _numbered(item, text)
    right = error <= 1.0 + 1e-9
    reason = [] if right else [f"{item.reason[0].upper()}{item.reason[1:]}."]
    return DrillAnswer(right, round(min(error, MOST_ERROR), 3), " ".join([*parts, *reason, *item.numbers]))


def _chosen(item: DrillItem, text: str) -> tuple[float, list[str]]:
    """Return how far off one of the choices is, and the words."""
    key = "-".join(text.lower().replace("step", " ").split())
    keys = [choice.key for choice in item.choices]
    if key not in keys:
        raise Refused(f"the answer must be {item.form}, got {text[:40]!r}")
    right = item.choices[keys.index(item.answer_choice)].words
    error = item.off[keys.index(key)]
    return error, [f"Right: {right}." if error <= 1.0 else f"Not so; right is {right}."]


def _numbered(item: DrillItem, text: str) -> tuple[float, list[str]]:
    """Return how far off seconds, stops and filter are, the further of them, and the words."""
    words = text.lower().replace(",", " ").replace("filter", " ").split()
    seconds, stops, name = _parsed(item, words, text)
    parts, errors = [], []
    if item.answer_s is not None:
        off = min((factor_to_stops(seconds / s) for s in (item.answer_s, item.rule_s) if s), key=abs)
        errors.append(abs(off) / item.tolerance)
        parts.append(_off_words(off, item.tolerance, ("too short: it needs more light", "too long: it needs less light"),
                                f"{item.answer_s:.1f} s"))  # fmt: skip
    if item.answer_stops is not None:
        off = stops - item.answer_stops
        errors.append(abs(off) / item.tolerance)
        parts.append(_off_words(off, item.tolerance, ("too little burn", "too much burn"), _stops(f"{item.answer_stops:g}")))
    if item.answer_filter is not None:
        off = GRADE_OF_FILTER[name] - GRADE_OF_FILTER[item.answer_filter]
        errors.append(abs(off) / item.filter_tolerance)
        parts.append(_filter_words(off, item))
    return max(errors), parts


def _parsed(item: DrillItem, words: list[str], text: str) -> tuple[float, float, str]:
    """Return seconds, stops and filter of an answer, as far as they are asked for."""
    refused = Refused(f"the answer must be {item.form}, got {text[:40]!r}")
    words = [word.rstrip("s") if word not in ("s", "stops", "stop") else "" for word in words]
    words = [word for word in words if word]
    name = ""
    if item.answer_filter is not None:
        if not words or words[-1] not in FILTERS:
            raise refused
        name = words.pop()
    if item.answer_s is None and item.answer_stops is None:
        if words:
            raise refused
        return 1.0, 0.0, name
    if len(words) != 1 or not _NUMBER.fullmatch(words[0]) or not math.isfinite(float(words[0])):
        raise refused
    value = float(words[0])
    if item.answer_s is not None and value <= 0.0:
        raise refused
    return max(value, 1e-3), value, name


def _off_words(off: float, tolerance: float, sides: tuple[str, str], right: str) -> str:
    if abs(off) <= tolerance + 1e-9:
        if abs(off) < TOLD_OFF_STOPS:
            return f"Right: {right}."
        return f"Right: {right} (yours is {abs(off):.2f} stop {'less' if off < 0 else 'more'})."
    return f"{_stops(f'{abs(off):.1f}')} {sides[0] if off < 0 else sides[1]}; right is {right}."


def _stops(size: str) -> str:
    """Return a number of stops with its word: up to one it is a stop."""
    return f"{size} stop" if float(size) <= 1.0 else f"{size} stops"


def _filter_words(off: float, item: DrillItem) -> str:
    if abs(off) <= item.filter_tolerance + 1e-9:
        return f"Right: filter {item.answer_filter}."
    return f"{abs(off):g} filter steps too {'soft' if off < 0 else 'hard'}; right is filter {item.answer_filter}."
