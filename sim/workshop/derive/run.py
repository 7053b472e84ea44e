"""Deriving many lessons and all sleeves: side by side in processes, nothing written before everything is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from sim.negative.sleeve import SLEEVE_FOLDER
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.derived import DERIVED, read_reference, reference_file
from sim.scoring.syllabus import read_syllabus
from sim.workshop.derive.broken_claims import Stop
from sim.workshop.derive.lesson import NOTICE, DerivedLesson, derive_lesson, finished, json_text
from sim.workshop.derive.numbers import habit_numbers
from sim.workshop.derive.sleeves import derived_sleeve, pictures
from sim.workshop.derive.writing_out import differences, replace_folder

SLEEVES_FILE = "claims.json"
Progress = Callable[[str], None]


@dataclass(frozen=True)
class Derived:
    """Everything derived in one run: the files of each folder, and what a person must decide first."""

    folders: tuple[tuple[Path, dict[str, str]], ...]
    stops: tuple[Stop, ...]
    owed: tuple[str, ...] = ()

    def differences(self) -> list[str]:
        """Return where what stands on disk is not what was derived."""
        return [f"{_shown(folder)}: {text}" for folder, files in self.folders for text in differences(folder, files)]

    def write(self) -> list[str]:
        """Replace every folder that differs; return what differed. Raises Refused while anything makes it stop."""
        if self.stops:
            raise Refused("nothing is written while a claim is broken")
        changed = self.differences()
        for folder, files in self.folders:
            if differences(folder, files):
                replace_folder(folder, files)
        return changed


def _shown(folder: Path) -> str:
    return "/".join(folder.parts[-2:])


def derive_all(folders: Sequence[Path], sleeves: bool, jobs: int, progress: Progress) -> Derived:
    """Derive lessons, and the sleeves' claims where asked for. Raises OutsideError for what is written wrongly by hand."""
    if jobs == 1:
        return _derive(folders, sleeves, map, progress)
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        return _derive(folders, sleeves, _in_pool(pool), progress)


Mapped = Callable[[Callable[[Any], Any], Iterable[Any]], Iterable[Any]]


def _in_pool(pool: Executor) -> Mapped:
    def mapped(work: Callable[[Any], Any], items: Iterable[Any]) -> Iterable[Any]:
        return pool.map(work, items)

    return mapped


def _derive(folders: Sequence[Path], sleeves: bool, mapped: Mapped, progress: Progress) -> Derived:
    lessons: list[DerivedLesson] = []
    for one in mapped(derive_lesson, folders):
        lessons.append(one)
        progress(one.name)
    known = {one.name: one.reference for one in lessons}
    whole = [finished(one, _habit(one, known)) for one in lessons]
    out = [(one.folder / DERIVED, one.files) for one in whole]
    stops = [stop for one in whole for stop in one.stops]
    owed: list[str] = []
    if sleeves:
        facts: dict[str, Any] = {}
        for name, (found, broken) in zip(pictures(), mapped(derived_sleeve, pictures()), strict=True):
            facts[name] = found
            stops += broken
            owed += [f"sleeve {name}: is not yet {word}" for word in found["owed"]]
            progress(name)
        text = json_text({"notice": NOTICE, "format": 1, "sleeves": facts})
        out.append((SLEEVE_FOLDER / DERIVED, {SLEEVES_FILE: text}))
    return Derived(tuple(out), tuple(stops), tuple(owed))


def _habit(one: DerivedLesson, known: dict[str, tuple[PrintingRecord, ...]]) -> dict[str, str]:
    """Return the numbers that a lesson of the syllabus has from the lesson whose habit fails in it."""
    entries = {entry.slug: entry for entry in read_syllabus().lessons}
    earlier = entries[one.name].habit_from if one.name in entries else ""
    if not earlier:
        return {}
    habit = known.get(earlier)
    if habit is None:
        folder = one.folder.parent / earlier
        habit = read_reference(folder) if reference_file(folder).is_file() else None
    return habit_numbers(one.reference, habit) if habit else {}
