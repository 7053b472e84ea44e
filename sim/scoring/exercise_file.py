"""Exercises on disk: ``exercise.toml`` read strictly, every error with file and key; found by name; written durably."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields, is_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, create_model

from sim.negative.sleeve import find_sleeve
from sim.paper.stock import find_stock
from sim.printing.record_file import read_record
from sim.reading import (
    MAX_TOML_BYTES,
    FileRefused,
    OutsideError,
    OutsideFile,
    Problem,
    parse_as,
    parse_toml,
    read_text,
    shown,
)
from sim.refusals import Refusal, refuse_any
from sim.scoring.criterion_keys import CriterionEntry, criterion_form, criterion_keys
from sim.scoring.derived import read_targets
from sim.scoring.exercise import (
    CONTROL_NAMES,
    MOST_ECONOMY_SHARE,
    SPREAD_CONTROLS,
    Box,
    Exercise,
    Mode,
    Prediction,
    Spread,
    Start,
)
from sim.scoring.paper_wishes import in_densities
from sim.shelf import EXERCISE, SHIPPED, Shelf, shipped_names

EXERCISE_FILE = EXERCISE.inside
Name = Annotated[str, Field(min_length=1, max_length=64, pattern=r"^[a-z0-9][a-z0-9~-]*$")]


class ExerciseFile(OutsideFile):
    """The whole of ``exercise.toml``: an exercise without what the folder knows (its name, the records of its goals)."""

    version: Annotated[int, Field(ge=1, le=10_000)] = 1
    title: Annotated[str, Field(min_length=1, max_length=120)]
    skill: Name
    negatives: Annotated[tuple[Name, ...], Field(min_length=1, max_length=12)]
    also: Annotated[tuple[Name, ...], Field(max_length=12)] = ()
    paper: Name
    unlocked: Annotated[tuple[str, ...], Field(min_length=1, max_length=20)]
    pass_share: Annotated[float, Field(gt=0.0, le=1.0)] = 0.75
    each_share: Annotated[float, Field(ge=0.0, le=1.0)] = 0.0
    economy_points: Annotated[float, Field(ge=0.0, le=1000.0)] = 0.0
    kept_back_points: Annotated[float, Field(ge=0.0, le=10_000.0)] = 0.0  # only in what learners are given
    copies: Annotated[int, Field(ge=1, le=12)] = 1
    predict: Prediction = "lighter-darker"
    mode: Mode = "solo"
    box: Box = Box()
    start: Start = Start()
    spread: Spread = Spread()
    criterion: tuple[CriterionEntry, ...]


def exercise_form() -> type[ExerciseFile]:
    """Return the form of ``exercise.toml`` with the criteria of every kind there is."""
    return _form(criterion_form())


@lru_cache(maxsize=4)
def _form(criterion: type[CriterionEntry]) -> type[ExerciseFile]:
    many = Annotated[tuple[criterion, ...], Field(min_length=1, max_length=60)]  # type: ignore[valid-type]
    return create_model("ExerciseFile", __base__=ExerciseFile, criterion=(many, ...))


def parse_exercise(file: Path, text: str, targets: Mapping[str, float] | None = None) -> ExerciseFile:
    """Return the text of an ``exercise.toml`` checked key by key. Raises OutsideError with file and key.

    ``targets`` are the densities that wishes in the paper's own terms come to.
    """
    return parse_as(file, in_densities(file, parse_toml(file, text), targets or {}), exercise_form())


def find_exercise(name: str, shelf: Shelf = SHIPPED) -> tuple[Path, Exercise]:
    """Return folder and exercise of a name on the shelf: a lesson, or an exercise of the course. Raises OutsideError."""
    folder = shelf.file(EXERCISE, name).parent
    return folder, read_exercise(folder)


def exercise_at(name_or_folder: str) -> tuple[Path, Exercise]:
    """Return folder and exercise for what a person typed or chose: a lesson's name, or a folder of their own.

    Never for a word that a log, a record or a submission says. Raises OutsideError.
    """
    folder = exercise_folder(name_or_folder)
    return folder, read_exercise(folder)


def exercise_folder(name_or_folder: str) -> Path:
    """Return the folder of a lesson by its name, or the folder that a person typed or chose. Raises OutsideError."""
    lesson = SHIPPED.find(EXERCISE, name_or_folder)
    folder = lesson.parent if lesson else Path(name_or_folder)
    if not (folder / EXERCISE_FILE).is_file():
        rule = "is no lesson and no folder with an exercise.toml; `tonewright lesson` lists the lessons"
        raise FileRefused(name_or_folder, [Problem("exercise", rule, shown(name_or_folder))])
    return folder


def exercise_names() -> tuple[str, ...]:
    """Return the names of the lessons that come with the program."""
    return shipped_names(EXERCISE)


def read_exercise(folder: Path, targets: Mapping[str, float] | None = None) -> Exercise:
    """Return the exercise of a folder. Raises OutsideError with file, key, rule and value received.

    ``targets`` are the densities that wishes in the paper's own terms come to (default: those that were derived).
    """
    file = folder / EXERCISE_FILE
    text = read_text(file, MAX_TOML_BYTES)
    raw = parse_exercise(file, text, read_targets(folder) if targets is None else targets)
    problems = _negatives_and_paper(raw) or _contradictions(raw)
    refuse_any(file, problems)
    criteria = tuple(entry.criterion() for entry in raw.criterion)
    goals = tuple(
        (name, read_record(folder / name)) for name in dict.fromkeys(c.record for c in criteria if c.record)
    )
    kept = {f.name: getattr(raw, f.name) for f in fields(Exercise) if f.name in ExerciseFile.model_fields}
    return Exercise(name=folder.resolve().name, criteria=criteria, goals=goals, **kept)


def _negatives_and_paper(raw: ExerciseFile) -> list[Problem]:
    """Return what is named but does not exist."""
    problems = []
    for key, names in (("negatives", raw.negatives), ("also", raw.also)):
        for index, name in enumerate(names):
            try:
                find_sleeve(name)
            except Refusal as error:
                problems.append(Problem(f"{key}[{index}]", _reason(error), ""))
    try:
        find_stock(raw.paper)
    except Refusal as error:
        problems.append(Problem("paper", _reason(error), ""))
    return problems


def _reason(error: Exception) -> str:
    return "; ".join(str(p) for p in error.problems) if isinstance(error, OutsideError) else str(error.args[0])


def _contradictions(raw: ExerciseFile) -> list[Problem]:
    """Return every pair of keys that cannot both be meant."""
    problems = _unknown_places(raw)
    known = ", ".join(CONTROL_NAMES)
    for index, control in enumerate(raw.unlocked):
        if control not in CONTROL_NAMES:
            problems.append(Problem(f"unlocked[{index}]", f"must be one of {known}", shown(control)))
    for key, control in SPREAD_CONTROLS.items():
        if getattr(raw.spread, key) and control not in raw.unlocked:
            problems.append(Problem(f"spread.{key}", f"only unlocked controls may be spread; {control} is locked", ""))
    quality = sum(
        c.criterion().points * (1 if c.negative or c.of_kind.series else len(raw.negatives)) for c in raw.criterion
    )
    quality += raw.kept_back_points
    if quality <= 0.0:
        problems.append(Problem("criterion", "at least one criterion must be worth points", "none"))
    most = MOST_ECONOMY_SHARE / (1.0 - MOST_ECONOMY_SHARE) * quality
    if raw.economy_points > most + 1e-9:
        rule = f"must be at most 20 % of all points ({most:g} beside {quality:g} for quality)"
        problems.append(Problem("economy_points", rule, f"{raw.economy_points:g}"))
    if raw.box.expected_sheets > raw.box.sheets:
        rule = f"must not exceed box.sheets ({raw.box.sheets})"
        problems.append(Problem("box.expected_sheets", rule, f"{raw.box.expected_sheets:g}"))
    if len({c.called() for c in raw.criterion}) < len(raw.criterion):
        problems.append(Problem("criterion", "names must differ", ", ".join(c.called() for c in raw.criterion)))
    if len(raw.negatives) > 1 and raw.also:
        problems.append(Problem("also", "cannot stand beside more than one negative", shown(raw.also)))
    return problems


def _unknown_places(raw: ExerciseFile) -> list[Problem]:
    """Return criteria whose negative or place does not exist."""
    problems = []
    places = {name: find_sleeve(name.partition("~")[0]).places for name in (*raw.negatives, *raw.also)}
    for index, entry in enumerate(raw.criterion):
        key = f"criterion[{index}]"
        if entry.negative is not None and entry.negative > len(raw.negatives):
            rule = f"must be 1 to {len(raw.negatives)}, the number of negatives"
            problems.append(Problem(f"{key}.negative", rule, str(entry.negative)))
            continue
        names = raw.negatives if entry.negative is None else [raw.negatives[entry.negative - 1]]
        for name in [*names, *raw.also]:
            for spot in entry.spots():
                if spot.known_as(places[name]) is None:
                    known = ", ".join(place.name for place in places[name]) or "none"
                    field = "places" if entry.places else "place"
                    rule = f"must be a place of {name} (known: {known})"
                    problems.append(Problem(f"{key}.{field}", rule, shown(spot.name)))
        if entry.of_kind.series and len(raw.negatives) * raw.copies < 2:
            problems.append(Problem(f"{key}.kind", f"{entry.kind} needs two prints or more (negatives, copies)", "one"))
        if entry.of_kind.controls and not set(entry.of_kind.controls) & set(raw.unlocked):
            rule = f"{entry.kind} needs one of {', '.join(entry.of_kind.controls)} unlocked"
            problems.append(Problem(f"{key}.kind", rule, "none"))
    return problems


def exercise_toml(exercise: Exercise) -> str:
    """Return an exercise as TOML text, with only what differs from the defaults in [start]."""
    lines = ["format = 1"]
    for key in (
        "version", "title", "skill", "negatives", "also", "paper", "unlocked", "pass_share", "economy_points", "copies",
        "predict", "mode",
    ):  # fmt: skip
        lines.append(f"{key} = {toml_value(getattr(exercise, key))}")
    if exercise.each_share:
        lines.append(f"each_share = {toml_value(exercise.each_share)}")
    if exercise.kept_back_points:
        lines.append(f"kept_back_points = {toml_value(exercise.kept_back_points)}")
    for table in (exercise.box, exercise.start, exercise.spread):
        kept = {f.name: getattr(table, f.name) for f in fields(table)}
        usual = {} if table is exercise.box else {f.name: getattr(type(table)(), f.name) for f in fields(table)}
        given = {k: v for k, v in kept.items() if v is not None and v != () and v != usual.get(k)}
        if given:
            lines += ["", f"[{type(table).__name__.lower()}]", *(f"{k} = {toml_value(v)}" for k, v in given.items())]
    for criterion in exercise.criteria:
        lines += ["", "[[criterion]]", *(f"{k} = {toml_value(v)}" for k, v in criterion_keys(criterion).items())]
    return "\n".join(lines) + "\n"


def toml_value(value: Any) -> str:
    """Return a value in TOML's spelling."""
    import json

    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (tuple, list)):
        return "[" + ", ".join(toml_value(item) for item in value) + "]"
    if is_dataclass(value) and not isinstance(value, type):
        value = {k: v for k, v in asdict(value).items() if v is not None}
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {toml_value(v)}" for k, v in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)
