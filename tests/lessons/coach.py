"""The coach put to the test: random starts, advice as JSON to a printer in another process, marks after every sheet."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.control_ranges import CONTROLS
from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.filters import GRADED_NAMES
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.flash import flashed_by
from sim.scoring.advice import Advice, advice_data, advise_each
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LIGHTS_KEPT
from sim.scoring.marks import Marks, score
from sim.scoring.start import Dials, Half, random_dials

FURTHER_SHEETS = 4
PRINTER = Path(__file__).with_name("coach_printer.py")


@dataclass(frozen=True)
class Coached:
    """How one start went: marks after every sheet, and whether one of them passed."""

    seed: int
    shares: tuple[float, ...]
    passed: bool


class Conversation:
    """The other end of the printer's pipe."""

    def __init__(self, process: subprocess.Popen[str]):
        self.process = process

    def ask(self, message: dict[str, Any]) -> dict[str, Any]:
        """Send a line, return the settings answered."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(json.dumps(message) + "\n")
        self.process.stdin.flush()
        return dict(json.loads(self.process.stdout.readline())["settings"])


@contextmanager
def printer() -> Iterator[Conversation]:
    """Start the printer without this project on its path; end it afterwards."""
    command = [sys.executable, "-I", "-S", str(PRINTER)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        yield Conversation(process)
        assert process.stdin is not None
        process.stdin.close()


def unlocked_ranges(exercise: Exercise, negative: Negative) -> dict[str, list[Any]]:
    """Return names and ranges of the unlocked controls, as they stand on the enlarger."""
    record = Dials(exercise.start).record(negative, find_stock(exercise.paper))
    lens, head = find_lens(record.enlarger.lens), find_head(record.enlarger.head)
    own: dict[str, list[Any]] = {
        "f_number": [lens.widest_f_number, lens.smallest_f_number],
        "height_mm": [max(head.column_mm[0], 4 * lens.focal_mm), head.column_mm[1]],
        "filter": list(GRADED_NAMES),
        "carrier": ["glass", "glassless"],
    }
    ranges = {name: [c.low, c.high] for name, c in CONTROLS.items()}
    return {name: own.get(name) or ranges.get(name, []) for name in exercise.unlocked}


def settings_of(dials: Dials, negative: Negative, exercise: Exercise) -> dict[str, Any]:
    """Return what a printer sees on the dials."""
    record = dials.record(negative, find_stock(exercise.paper))
    start = dials.start
    return {
        "time_s": start.time_s, "filter": start.filter, "f_number": start.f_number,
        "column_mm": record.enlarger.height_mm, "focus_offset_mm": start.focus_offset_mm, "carrier": start.carrier,
        "easel_tilt_deg": start.easel_tilt_deg, "development_time_s": record.development.time_s,
        "cards": dict(dials.cards), "tool": dials.tool, "second": _half_said(dials.second),
        "flash_s": dials.flash_s, "unseen_flash_s": _unseen_s(dials, negative, exercise),
    }  # fmt: skip


def _unseen_s(dials: Dials, negative: Negative, exercise: Exercise) -> float:
    """Return the seconds that a strip of flashes shows to be the paper's threshold; a printer lays it first."""
    if "flash" not in exercise.unlocked:
        return 0.0
    stock = find_stock(exercise.paper)
    return flashed_by(negative, dials.record(negative, stock), stock, 1.0).exposures[-1].time_s


def _half_said(half: Half | None) -> dict[str, Any] | None:
    if half is None:
        return None
    return {"time_s": half.time_s, "filter": half.filter, "cards": dict(half.cards)}


def _half_of(said: dict[str, Any] | None) -> Half | None:
    return None if said is None else Half(said["filter"], said["time_s"], tuple(said["cards"].items()))


def dials_of(settings: dict[str, Any], dials: Dials) -> Dials:
    """Return the dials as the printer left them."""
    names = (
        "time_s", "filter", "f_number", "column_mm", "focus_offset_mm", "carrier", "easel_tilt_deg", "development_time_s",
    )  # fmt: skip
    start = replace(dials.start, **{name: settings[name] for name in names})
    return Dials(start, tuple(settings["cards"].items()), settings["tool"], _half_of(settings["second"]), settings["flash_s"])


@dataclass
class Bench:
    """Negatives and their projected light, kept over many starts of one exercise."""

    exercise: Exercise
    negatives: tuple[Negative, ...]
    lights: LightCache

    @classmethod
    def of(cls, exercise: Exercise) -> Bench:
        """Return the bench of an exercise."""
        return cls(exercise, tuple(find_negative(name) for name in exercise.negatives), LightCache(LIGHTS_KEPT))

    def judged(self, dials: list[Dials]) -> tuple[Marks, tuple[tuple[Advice, ...], ...]]:
        """Print, mark and advise."""
        stock = find_stock(self.exercise.paper)
        slots = self.slots()
        records = [d.record(self.negatives[index], stock) for d, index in zip(dials, slots, strict=True)]
        judged = judge(self.exercise, self.negatives, records, 0.0, lights=self.lights, only_places=True)
        marks = score(judged, self.exercise)
        return marks, () if marks.passed(self.exercise) else advise_each(self.exercise, judged, marks)

    def slots(self) -> list[int]:
        """Return which negative each nominated sheet is of."""
        return [index for index in range(len(self.negatives)) for _ in range(self.exercise.copies)]


def coached(bench: Bench, seed: int, talk: Conversation, further: int = FURTHER_SHEETS) -> Coached:
    """Run one start: print, advise, print again, at most so many further sheets of every negative."""
    exercise = bench.exercise
    rng = np.random.Generator(np.random.PCG64(seed))
    slots = bench.slots()
    dials = [random_dials(exercise, bench.negatives[index], rng) for index in slots]
    for number, index in enumerate(slots):
        negative = bench.negatives[index]
        begin = {
            "settings": settings_of(dials[number], negative, exercise), "unlocked": unlocked_ranges(exercise, negative),
        }  # fmt: skip
        talk.ask({"begin": begin, "print": number})
    shares = []
    for sheet in range(further + 1):
        marks, advice = bench.judged(dials)
        shares.append(marks.share)
        if marks.passed(exercise) or sheet == further:
            return Coached(seed, tuple(shares), marks.passed(exercise))
        for number in range(len(slots)):
            mine = [advice_data(a) for a in advice[number]]
            dials[number] = dials_of(talk.ask({"advice": mine, "print": number}), dials[number])
    raise AssertionError("unreachable")
