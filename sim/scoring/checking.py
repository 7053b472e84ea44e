"""Is an exercise sound? What the solver reaches, how wide passing is, what the trade's rules need, what passes by accident.

For whoever writes a lesson: ``tonewright check LESSON``. Every problem is a sentence that names file or control.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.printing.record import PrintingRecord
from sim.quantities import CONTROLS
from sim.reading import OutsideError
from sim.refusals import Refusal
from sim.scoring.advice import advise_each
from sim.scoring.derived import REFERENCE_FILE
from sim.scoring.derived import read_reference as read_reference
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import read_exercise
from sim.scoring.judged import judge
from sim.scoring.ladder import ByTheRules, climb
from sim.scoring.ladder_bench import LadderBench, accident_share
from sim.scoring.marks import Marks, score
from sim.scoring.passing import passing_width
from sim.scoring.solved import solved_records
from sim.scoring.start import locked_changes, start_record
from sim.scoring.trial import Trial, apply_trial, read_trials

MOST_BY_ACCIDENT = 0.15
MOST_TWICE_BY_ACCIDENT = 0.02
FULL_SHARE = 1.0 - 1e-6
ACCIDENT_RECORDS = 120
RULES_STARTS = 4


@dataclass(frozen=True)
class CheckReport:
    """What was found: the solver's best mark, the passing region, sheets by the rules, accidents, and all problems."""

    exercise: str
    best_share: float
    best_record: PrintingRecord
    reference_share: float
    start_share: float
    widths: tuple[tuple[str, float, str], ...]
    rules_sheets: float
    rules_passed: float
    accident: float
    problems: tuple[str, ...]

    def data(self) -> dict[str, Any]:
        """Return the report as JSON-able data, the record left out."""
        kept = {key: value for key, value in asdict(replace(self)).items() if key != "best_record"}
        return {**kept, "widths": [{"control": c, "width": w, "unit": u} for c, w, u in self.widths]}


def negatives_of(exercise: Exercise) -> tuple[Negative, ...]:
    """Return the exercise's negatives, developed."""
    return tuple(find_negative(name) for name in exercise.negatives)


def check_exercise(
    folder: Path, accident_records: int = ACCIDENT_RECORDS, rules_starts: int = RULES_STARTS, seed: int = 0
) -> CheckReport:
    """Return all that is found about an exercise. Raises OutsideError when its files cannot be read at all."""
    exercise, reference, trials = read_exercise(folder), read_reference(folder), read_trials(folder)
    bench = LadderBench(exercise, negatives_of(exercise))
    problems = [*reference_problems(exercise, bench, reference), *trial_problems(exercise, bench, reference, trials)]
    problems += text_problems(folder, exercise, reference)
    best = solved_records(exercise, bench)
    best_marks, reference_marks = bench.marks_of(best), bench.marks_of(reference)
    starts = _starts(exercise, bench)
    start_marks = bench.marks_of(starts)
    if not best_marks.passed(exercise):
        problems.append(f"cannot be done: the best print that reach finds earns {best_marks.share:.0%} of the quality")
    if start_marks.passed(exercise):
        problems.append(f"is done at the start: the start record earns {start_marks.share:.0%} of the quality")
    accident = accident_share(bench, accident_records, seed)
    problems += accident_problems(exercise, accident)
    evenings = [
        climb(bench, np.random.Generator(np.random.PCG64(seed + k)), ByTheRules) for k in range(rules_starts)
    ]
    passed = [evening.sheets for evening in evenings if evening.passed]
    return CheckReport(
        exercise.name, best_marks.share, best[0], reference_marks.share, start_marks.share,
        passing_width(exercise, bench, reference), float(np.mean(passed)) if passed else float("inf"),
        len(passed) / max(len(evenings), 1), accident, tuple(problems),
    )  # fmt: skip


def _starts(exercise: Exercise, bench: LadderBench) -> list[PrintingRecord]:
    from sim.paper.stock import find_stock

    stock = find_stock(exercise.paper)
    return [start_record(exercise, bench.negatives[index], stock) for index in bench.slots()]


def accident_problems(exercise: Exercise, accident: float) -> list[str]:
    """Return what is wrong with how often a random record passes: once, and twice in a row as the skill gate asks."""
    found = []
    if accident > MOST_BY_ACCIDENT and len(exercise.unlocked) == 1:
        found.append(f"passes by accident in {accident:.0%} of random records, allowed are {MOST_BY_ACCIDENT:.0%}")
    if accident**2 > MOST_TWICE_BY_ACCIDENT:
        twice = accident**2
        found.append(f"the skill gate passes by accident in {twice:.1%} of pairs, allowed are {MOST_TWICE_BY_ACCIDENT:.0%}")
    return found


def reference_problems(exercise: Exercise, bench: LadderBench, reference: Sequence[PrintingRecord]) -> list[str]:
    """Return what is wrong with the reference: its number, its marks, locked controls it moves, values out of range."""
    if len(reference) != len(bench.slots()):
        return [f"{REFERENCE_FILE} must hold {len(bench.slots())} records (negatives times copies), got {len(reference)}"]
    found = []
    for number, (record, index) in enumerate(zip(reference, bench.slots(), strict=True)):
        if record.negative != exercise.negatives[index]:
            found.append(f"{REFERENCE_FILE} [{number}]: negative must be {exercise.negatives[index]}, got {record.negative}")
            continue
        moved = locked_changes(exercise, bench.negatives[index], record)
        found += [f"{REFERENCE_FILE} [{number}]: {words}" for words in moved]
        found += [f"{REFERENCE_FILE} [{number}]: {words}" for words in out_of_range(record)]
    if found:
        return found
    marks = _whole_marks(exercise, bench, reference)
    lost = [f"{mark.name} ({mark.measured:.3f}, wanted {mark.wanted:.3f})" for mark in marks.marks if mark.share < FULL_SHARE]
    if lost:
        found.append(f"the reference does not earn full marks: {', '.join(lost)}")
    return found


def out_of_range(record: PrintingRecord) -> list[str]:
    """Return answers outside the ranges of the controls; a strip's or a lamp's own limits are make_print's to refuse."""
    values = [("height_mm", record.enlarger.height_mm), ("development_time_s", record.development.time_s)]
    values += [("time_s", exposure.time_s) for exposure in record.exposures]
    values += [("f_number", exposure.f_number) for exposure in record.exposures]
    outside = []
    for name, value in values:
        limits = CONTROLS[name]
        if not limits.low <= value <= limits.high:
            outside.append(f"{name} must be between {limits.low:g} and {limits.high:g}, got {value:g}")
    return outside


def _whole_marks(exercise: Exercise, bench: LadderBench, records: Sequence[PrintingRecord]) -> Marks:
    """Return the marks of whole prints, as a learner's are marked."""
    used = exercise.box.expected_sheets
    return score(judge(exercise, bench.negatives, records, used, lights=bench.lights), exercise)


def trial_problems(
    exercise: Exercise, bench: LadderBench, reference: tuple[PrintingRecord, ...], trials: Sequence[Trial]
) -> list[str]:
    """Return the trials whose cause is not what advice names first, or whose size is more than a quarter off."""
    found = []
    for trial in trials:
        try:
            said = first_advice(exercise, bench, reference, trial)
        except Refusal as error:
            found.append(f"trials/{trial.name}.toml: {error}")
            continue
        if said is None:
            found.append(f"trials/{trial.name}.toml: no advice, {trial.cause} {trial.direction} was expected first")
        elif not trial.is_met_by(*said):
            told = f"{said[0]} {said[1]} {said[2]:.2f} {said[3]}".strip()
            wanted = f"{trial.cause} {trial.direction} {trial.size:g} {trial.place}".strip()
            found.append(f"trials/{trial.name}.toml: advice says {told} first, expected {wanted}")
    return found


def first_advice(
    exercise: Exercise, bench: LadderBench, reference: tuple[PrintingRecord, ...], trial: Trial
) -> tuple[str, str, float, str] | None:
    """Return cause, direction, size and place that advice names first for a trial's print."""
    from sim.scoring.advice import advise

    records = apply_trial(reference, trial)
    used = trial.change.sheets_used or exercise.box.expected_sheets
    judged = judge(exercise, bench.negatives, records, used, lights=bench.lights, only_places=True)
    marks = score(judged, exercise)
    several = len(records) > 1 and trial.cause != "economy"
    said = advise_each(exercise, judged, marks)[trial.change.copy] if several else advise(exercise, judged, marks)
    return (said[0].cause, said[0].direction, said[0].size, said[0].place) if said else None


def text_problems(folder: Path, exercise: Exercise, reference: Sequence[PrintingRecord]) -> list[str]:
    """Return where brief or hints give an unlocked control's reference value with its unit, or cannot be read."""
    from sim.scoring.hints import brief_of, hints_of

    found: list[str] = []
    texts: dict[str, str] = {}
    for name in ("brief.md", "hints.md"):
        try:
            texts[name] = " ".join(brief_of(folder).steps if name == "brief.md" else hints_of(folder))
        except OutsideError as error:
            found += [f"{name}: {problem}" for problem in error.problems]
    for control, pattern in answer_patterns(exercise, reference):
        found += [f"{name}: gives the answer for {control}" for name, text in texts.items() if re.search(pattern, text, re.I)]
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


def report_json(report: CheckReport) -> str:
    """Return a report as JSON text; no passing evening by the rules stands as null."""
    data = report.data()
    if not np.isfinite(data["rules_sheets"]):
        data["rules_sheets"] = None
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
