"""Is an exercise sound? What the solver reaches, how wide passing is, what the trade's rules need, what passes by accident.

For whoever writes a lesson: ``tonewright check LESSON``. What is wrong is a fact that names file or control;
``sim/notebook/finding_words.py`` says it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.printing.controls import numbers_in, range_of
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError
from sim.refusals import Refusal
from sim.scoring.advice import advise, advise_each
from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.derived import REFERENCE_FILE
from sim.scoring.derived import read_reference as read_reference
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import read_exercise
from sim.scoring.judged import judge
from sim.scoring.ladder import ByTheRules, climb
from sim.scoring.ladder_bench import LadderBench, accident_share
from sim.scoring.marks import Marks, score
from sim.scoring.passing import passing_width
from sim.scoring.public_form import wrong_with_public_form
from sim.scoring.start import locked_changes, start_record
from sim.scoring.trial import Trial, apply_trial, read_trials

MOST_BY_ACCIDENT = 0.15
MOST_TWICE_BY_ACCIDENT = 0.02
FULL_SHARE = 1.0 - 1e-6
ACCIDENT_RECORDS = 120
RULES_STARTS = 4


@dataclass(frozen=True)
class Finding:
    """What is wrong with an exercise: a code, the file or control it concerns, and the values that belong to it."""

    what: str
    where: str = ""
    values: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class CheckReport:
    """What was found: the solver's best mark, the passing region, sheets by the rules, accidents, and all problems."""

    exercise: str
    best_share: float
    reference_share: float
    start_share: float
    widths: tuple[tuple[str, float, str], ...]
    rules_sheets: float
    rules_passed: float
    accident: float
    problems: tuple[Finding, ...]

    def data(self) -> dict[str, Any]:
        """Return the report as JSON-able data, problems left out; no passing evening by the rules is None."""
        kept = {key: value for key, value in asdict(self).items() if key != "problems"}
        kept["rules_sheets"] = self.rules_sheets if np.isfinite(self.rules_sheets) else None
        return {**kept, "widths": [{"control": c, "width": w, "unit": u} for c, w, u in self.widths]}


def negatives_of(exercise: Exercise) -> tuple[Negative, ...]:
    """Return the exercise's negatives, developed."""
    return tuple(find_negative(name) for name in exercise.negatives)


def check_exercise(
    folder: Path, accident_records: int = ACCIDENT_RECORDS, rules_starts: int = RULES_STARTS
) -> CheckReport:
    """Return all that is found about an exercise. Raises OutsideError when its files cannot be read at all."""
    exercise, reference, trials = read_exercise(folder), read_reference(folder), read_trials(folder)
    bench = LadderBench(exercise, negatives_of(exercise))
    problems = [*reference_problems(exercise, bench, reference), *trial_problems(exercise, bench, reference, trials)]
    problems += text_problems(folder, exercise, reference)
    best_marks, reference_marks = bench.marks_of(solved_records(exercise, bench)), bench.marks_of(reference)
    if wrong := wrong_with_public_form(exercise):
        problems.append(Finding("public-form", values={"problem": wrong}))
    starts = _starts(exercise, bench)
    start_marks = bench.marks_of(starts)
    if not best_marks.passed(exercise):
        problems.append(Finding("cannot-be-done", values={"share": best_marks.share}))
    if start_marks.passed(exercise):
        problems.append(Finding("done-at-the-start", values={"share": start_marks.share}))
    accident = accident_share(bench, accident_records)
    problems += accident_problems(exercise, accident)
    evenings = [
        climb(bench, np.random.Generator(np.random.PCG64(k)), ByTheRules) for k in range(rules_starts)
    ]
    passed = [evening.sheets for evening in evenings if evening.passed]
    return CheckReport(
        exercise.name, best_marks.share, reference_marks.share, start_marks.share,
        passing_width(exercise, bench, reference), float(np.mean(passed)) if passed else float("inf"),
        len(passed) / max(len(evenings), 1), accident, tuple(problems),
    )  # fmt: skip


def _starts(exercise: Exercise, bench: LadderBench) -> list[PrintingRecord]:

    stock = exercise.stock
    return [start_record(exercise, bench.negatives[index], stock) for index in bench.slots()]


def accident_problems(exercise: Exercise, accident: float) -> list[Finding]:
    """Return what is wrong with how often a random record passes: once, and twice in a row as the skill gate asks."""
    found = []
    if accident > MOST_BY_ACCIDENT and len(exercise.unlocked) == 1:
        found.append(Finding("passes-by-accident", values={"share": accident, "most": MOST_BY_ACCIDENT}))
    if accident**2 > MOST_TWICE_BY_ACCIDENT:
        found.append(Finding("gate-by-accident", values={"share": accident**2, "most": MOST_TWICE_BY_ACCIDENT}))
    return found


def reference_problems(exercise: Exercise, bench: LadderBench, reference: Sequence[PrintingRecord]) -> list[Finding]:
    """Return what is wrong with the reference: its number, its marks, locked controls it moves, values out of range."""
    if len(reference) != len(bench.slots()):
        values = {"wanted": len(bench.slots()), "got": len(reference)}
        return [Finding("number-of-records", REFERENCE_FILE, values)]
    found = []
    for number, (record, index) in enumerate(zip(reference, bench.slots(), strict=True)):
        where = f"{REFERENCE_FILE} [{number}]"
        if record.negative != exercise.negatives[index]:
            found.append(Finding("negative", where, {"wanted": exercise.negatives[index], "got": record.negative}))
            continue
        found += [Finding("moved", where, {"moved": moved}) for moved in
                  locked_changes(exercise, bench.negatives[index], record)]  # fmt: skip
        found += [replace(one, where=where) for one in out_of_range(record)]
    if found:
        return found
    marks = _whole_marks(exercise, bench, reference)
    lost = tuple(mark for mark in marks.marks if mark.share < FULL_SHARE)
    return [Finding("not-full-marks", values={"lost": lost})] if lost else []


def out_of_range(record: PrintingRecord) -> list[Finding]:
    """Return answers outside the ranges of the controls; a strip's or a lamp's own limits are make_print's to refuse."""
    outside = []
    for name, value in numbers_in(record):
        low, high = range_of(name)
        if not low <= value <= high:
            outside.append(Finding("out-of-range", values={"name": name, "low": low, "high": high, "got": value}))
    return outside


def _whole_marks(exercise: Exercise, bench: LadderBench, records: Sequence[PrintingRecord]) -> Marks:
    """Return the marks of whole prints, as a learner's are marked."""
    used = exercise.box.expected_sheets
    return score(judge(exercise, bench.negatives, records, used, lights=bench.lights), exercise)


def trial_problems(
    exercise: Exercise, bench: LadderBench, reference: tuple[PrintingRecord, ...], trials: Sequence[Trial]
) -> list[Finding]:
    """Return the trials whose cause is not what advice names first, or whose size is more than a quarter off."""
    found = []
    for trial in trials:
        where = f"trials/{trial.name}.toml"
        try:
            said = first_advice(exercise, bench, reference, trial)
        except Refusal as error:
            found.append(Finding("trial-refused", where, {"error": str(error)}))
            continue
        if said is None or not trial.is_met_by(*said):
            found.append(Finding("trial-not-met", where, {"said": said, "trial": trial}))
    return found


def first_advice(
    exercise: Exercise, bench: LadderBench, reference: tuple[PrintingRecord, ...], trial: Trial
) -> tuple[str, str, float, str] | None:
    """Return cause, direction, size and place that advice names first for a trial's print."""
    records = apply_trial(reference, trial)
    used = trial.change.sheets_used or exercise.box.expected_sheets
    judged = judge(exercise, bench.negatives, records, used, lights=bench.lights, only_places=True)
    marks = score(judged, exercise)
    several = len(records) > 1 and trial.cause != "economy"
    said = advise_each(exercise, judged, marks)[trial.change.copy] if several else advise(exercise, judged, marks)
    return (said[0].cause, said[0].direction, said[0].size, said[0].place) if said else None


def text_problems(folder: Path, exercise: Exercise, reference: Sequence[PrintingRecord]) -> list[Finding]:
    """Return where brief or hints give an unlocked control's reference value with its unit, or cannot be read."""
    from sim.scoring.hints import brief_of, hints_of

    found: list[Finding] = []
    texts: dict[str, str] = {}
    for name in ("brief.md", "hints.md"):
        try:
            texts[name] = " ".join(brief_of(folder).steps if name == "brief.md" else hints_of(folder))
        except OutsideError as error:
            found += [Finding("unreadable", name, {"problem": str(problem)}) for problem in error.problems]
    for control, pattern in answer_patterns(exercise, reference):
        gives = [name for name, text in texts.items() if re.search(pattern, text, re.I)]
        found += [Finding("gives-the-answer", name, {"control": control}) for name in gives]
    return found


def answer_patterns(exercise: Exercise, reference: Sequence[PrintingRecord]) -> list[tuple[str, str]]:
    """Return patterns that would give an unlocked control's answer away: the value with its unit."""
    values: dict[str, set[str]] = {}
    for record in reference:
        for exposure in record.exposures:
            seconds = rf"(?<![\d.]){_number(exposure.time_s)}\s*(s|sec|seconds?)\b"
            values.setdefault("time_s", set()).add(seconds)
            values.setdefault("f_number", set()).add(rf"f\s*/\s*{_number(exposure.f_number)}(?![\d.]*\d)")
            if exposure.filter.graded is not None:
                values.setdefault("filter", set()).add(rf"(filter|grade)\s+{re.escape(exposure.filter.graded)}(?![\d.]*\d)")
        values.setdefault("height_mm", set()).add(rf"(?<![\d.]){_number(record.enlarger.height_mm)}\s*mm")
        values.setdefault("development_time_s", set()).add(rf"(?<![\d.]){_number(record.development.time_s)}\s*(s|seconds?)\b")
    return [(name, pattern) for name in exercise.unlocked for pattern in sorted(values.get(name, ()))]


def _number(value: float) -> str:
    """Return a pattern for a number as people write it."""
    return re.escape(f"{value:g}")
