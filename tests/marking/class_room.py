"""A small course on disk: one quick exercise on a step wedge, learners, and evenings written without printing them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from sim.enlarger.filters import FilterSetting
from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.evening.log import FIRST_HASH, Line, read_log
from sim.marking.bundle import assigned_exercise
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import read_exercise
from sim.scoring.start import start_record

DUE = 1_796_148_000  # 2026-12-01T18:00:00 UTC
EXERCISE = """format = 1
version = 1
title = "Grey steps"
skill = "grey-steps"
negatives = ["step-wedge"]
paper = "glossy-rc-vc"
unlocked = ["time_s"]
economy_points = 1.0

[box]
sheets = 6
minutes = 45.0
expected_sheets = 2.0

[start]
time_s = 4.0
width_mm = 60.0
height_mm = 30.0
border_mm = 3.0

[spread]
time_stops = [-2.0, 2.0]

[[criterion]]
name = "middle-grey"
kind = "tone"
place = { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }
density = 0.60
tolerance_density = 0.05
points = 6.0

[[criterion]]
name = "kept-back-grey"
kind = "tone"
place = { name = "step-13", x = 0.595, y = 0.5, spot_mm = 1.0 }
density = 0.30
tolerance_density = 0.05
points = 3.0
hidden = true
"""
COURSE = """format = 1
course = "wedge-course"
title = "Grey steps on Tuesdays"
time_zone = "UTC"
secret_file = "course.key"
roster = "roster.csv"

[[exercise]]
folder = "grey-steps"
due = 2026-12-01T18:00:00
attempts = 3
policy = "best"
variants = {variants}
points = 100.0

[exercise.late]
grace_minutes = 10
percent_per_day = 10.0
cap_percent = 50.0
zero_after_days = 7
exempt = []
"""
SECRET = b"a secret for a course of steps\n"
NAMES = {"k01": "Place к01", "k02": "Place κ02", "k03": "Place 학03", "k04": "Place к04"}


@lru_cache(maxsize=8)
def wedge(name: str = "step-wedge") -> Negative:
    """Return the negative, developed once for all tests."""
    return find_negative(name)


@dataclass(frozen=True)
class ClassRoom:
    """A course's folder, and what is handed in beside it."""

    folder: Path
    exercise: Exercise

    @property
    def course(self) -> Path:
        return self.folder / "course.toml"

    @property
    def box(self) -> Path:
        return self.folder / "in"

    def hand(
        self, learner: str, file: str = "", times: Sequence[float] = (3.0, 5.0), negative: str = "step-wedge",
        received: float = DUE - 3600, seed: int = 7, opening: dict[str, Any] | None = None, filter_name: str = "2",
        nominate: int | None = None,
    ) -> Path:  # fmt: skip
        """Write an evening of a learner, handed in; sheets with these times, the last one nominated."""
        out = self.box / (file or f"{learner}.evening")
        out.parent.mkdir(exist_ok=True)
        log = self.folder / "evening.log"
        log.unlink(missing_ok=True)
        given = assigned_exercise(self.exercise, (negative,)).public()
        about: dict[str, Any] = {
            "exercise": self.exercise.name, "exercise_version": self.exercise.version, "exercise_digest": given.digest,
            "learner": learner, "attempt": 1, "negatives": [negative],
        }  # fmt: skip
        evening = Evening.open(log, self.exercise.paper, 6, 45.0, seed, **{**about, **(opening or {})})
        for time_s in times:
            write_sheet(evening, self.record(time_s, negative, filter_name))
        evening.nominate(nominate or len(times))
        hand_in(log, out)
        os.utime(out, (received, received))
        return out

    def record(self, time_s: float, negative: str = "step-wedge", filter_name: str = "2") -> PrintingRecord:
        """Return the start's record with another time."""
        start = start_record(self.exercise, wedge(negative), find_stock(self.exercise.paper))
        exposure = replace(start.exposures[0], time_s=time_s, filter=FilterSetting(filter_name))
        return start.with_exposures(exposure)


def write_sheet(evening: Evening, record: PrintingRecord) -> None:
    """Put a sheet into the log as the bench does, without making the print."""
    evening._decide("sheet", {"record": record_data(evening.with_light_given(record))})


def class_room(folder: Path, variants: bool = False, roster: Sequence[str] = tuple(NAMES)) -> ClassRoom:
    """Lay out a course in a folder."""
    lesson = folder / "grey-steps"
    lesson.mkdir(parents=True)
    (lesson / "exercise.toml").write_text(EXERCISE, encoding="utf-8")
    (folder / "course.toml").write_text(COURSE.format(variants=str(variants).lower()), encoding="utf-8")
    (folder / "course.key").write_bytes(SECRET)
    rows = [f"{name},{NAMES.get(name, '')},{name}@kiln.example" for name in roster]
    (folder / "roster.csv").write_text("\r\n".join(["id,name,email", *rows]) + "\r\n", encoding="utf-8")
    (folder / "in").mkdir()
    return ClassRoom(folder, read_exercise(lesson))


def rewritten(file: Path, change: dict[int, dict[str, Any]]) -> None:
    """Write a log again with the data of some lines changed and the whole chain made anew: a forger's work."""
    previous, texts = FIRST_HASH, []
    for line in read_log(file).lines:
        new = Line(line.number, line.kind, {**line.data, **change.get(line.number, {})}, previous)
        previous = new.hash
        texts.append(new.text())
    stamp = file.stat().st_mtime
    file.write_text("".join(texts), encoding="utf-8")
    os.utime(file, (stamp, stamp))


def all_bytes(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder with its content."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
