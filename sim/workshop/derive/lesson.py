"""One lesson derived: the order of work, from wishes to the files of ``derived/``, all in memory."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sim.enlarger.equipment import EQUIPMENT_FILE
from sim.enlarger.filters import FILTERS_FILE
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.scoring.checking import answer_patterns, negatives_of
from sim.scoring.derived import (
    EXAMPLE_FILE,
    MANIFEST_FILE,
    NUMBERS_FILE,
    REFERENCE_FILE,
    SHOWN_FILE,
    TARGETS_FILE,
    TRIALS_FILE,
)
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import EXERCISE_FILE, read_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.trial import trials_by_hand
from sim.shelf import PAPER, SHIPPED
from sim.workshop.derive.broken_claims import Stop
from sim.workshop.derive.claims import broken_claims, broken_texts
from sim.workshop.derive.example import derived_example
from sim.workshop.derive.numbers import derived_numbers
from sim.workshop.derive.reference import derived_reference
from sim.workshop.derive.shown import derived_shown
from sim.workshop.derive.trials import Sized, sized_trials
from sim.workshop.derive.wished_densities import derived_targets
from sim.workshop.derive.wishes import WISHES_FILE, read_wishes

NOTICE = "written by `tonewright derive`; change the wishes and derive again, never this"


@dataclass(frozen=True)
class DerivedLesson:
    """What follows from a lesson's wishes: the texts of its files by name, and what a person must decide first.

    ``negatives`` are the digests of the negatives that were developed for it, by name.
    """

    name: str
    folder: Path
    files: dict[str, str]
    reference: tuple[PrintingRecord, ...]
    numbers: dict[str, str]
    negatives: dict[str, str]
    stops: tuple[Stop, ...]


def derive_lesson(folder: Path) -> DerivedLesson:
    """Return everything that is derived for one exercise. Raises OutsideError when what is written by hand cannot be read."""
    targets = derived_targets(folder)
    exercise, wishes = read_exercise(folder, targets), read_wishes(folder)
    bench = LadderBench(exercise, negatives_of(exercise))
    reference = derived_reference(exercise, bench, wishes)
    stops = broken_claims(bench, reference, wishes)
    trials, wrong = sized_trials(bench, reference, trials_by_hand(folder))
    example, ends = derived_example(bench, reference)
    shown, not_shown = derived_shown(exercise, reference, wishes)
    numbers = derived_numbers(bench, reference)
    files = {
        TARGETS_FILE: json_text(targets),
        REFERENCE_FILE: json_text([record_data(record) for record in reference]),
        TRIALS_FILE: trials_text(trials),
        EXAMPLE_FILE: json_text(example),
    }
    if shown:
        files[SHOWN_FILE] = json_text([record_data(record) for record in shown])
    stops += [*wrong, *ends, *not_shown]
    negatives = {negative.name: negative.digest for negative in bench.negatives}
    return DerivedLesson(exercise.name, folder, files, reference, numbers, negatives, tuple(stops))


def finished(one: DerivedLesson, more_numbers: dict[str, str]) -> DerivedLesson:
    """Return a lesson with the numbers that other lessons give it, its texts held against all, and its manifest."""
    numbers = dict(sorted({**one.numbers, **more_numbers}.items()))
    exercise = read_exercise(one.folder, json.loads(one.files[TARGETS_FILE]))
    stops = broken_texts(one.folder, answer_patterns(exercise, one.reference), numbers)
    files = {**one.files, NUMBERS_FILE: json_text(numbers)}
    digests = {name: digest_of(text.encode()) for name, text in sorted(files.items())}
    manifest = {"notice": NOTICE, "format": 1, "made_from": made_from(one.folder, exercise, one.negatives)}
    files[MANIFEST_FILE] = json_text({**manifest, "files": digests})
    return replace(one, files=files, numbers=numbers, stops=(*one.stops, *stops))


def made_from(folder: Path, exercise: Exercise, negatives: Mapping[str, str]) -> dict[str, str]:
    """Return the digest of everything by hand that a lesson's results follow from, the program's own code apart.

    ``negatives`` are the digests of its negatives, by name.
    """
    own = [folder / EXERCISE_FILE, folder / WISHES_FILE, *sorted((folder / "trials").glob("*.toml"))]
    found = {f.relative_to(folder).as_posix(): digest_of_text(f) for f in own if f.is_file()}
    found |= {f"negative {name}": negatives[name] for name in dict.fromkeys(exercise.negatives)}
    found[f"paper {exercise.paper}"] = digest_of_text(SHIPPED.file(PAPER, exercise.paper))
    return found | {"equipment": digest_of_text(EQUIPMENT_FILE), "filters": digest_of_text(FILTERS_FILE)}


def digest_of_text(file: Path) -> str:
    """Return the digest of a text file, whatever its line ends."""
    return digest_of(file.read_text(encoding="utf-8").encode())


def digest_of(data: bytes) -> str:
    """Return the SHA-256 of some bytes."""
    return hashlib.sha256(data).hexdigest()


def json_text(data: Any) -> str:
    """Return data as the JSON text of a derived file."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def trials_text(trials: tuple[Sized, ...]) -> str:
    """Return the trials as JSON, one to a line: what is known of each, and the record that it changes."""
    lines = []
    for one in trials:
        trial = one.trial
        data = {
            "cause": trial.cause, "direction": trial.direction, "place": trial.place, "size": trial.size,
            "copy": trial.change.copy, "record": record_data(one.record) if one.record else None,
        }  # fmt: skip
        lines.append(f"  {json.dumps(trial.name)}: {json.dumps(data, ensure_ascii=False, allow_nan=False)}")
    return "{\n" + ",\n".join(lines) + "\n}\n"
