"""Deriving many lessons and all sleeves: side by side in processes, nothing written before everything is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from sim.negative.sleeve import SLEEVE_FOLDER, find_sleeve
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.derived import DERIVED, read_reference, reference_file
from sim.scoring.syllabus import read_syllabus
from sim.shelf import EXERCISE
from sim.workshop.derive.broken_claims import Stop
from sim.workshop.derive.lesson import NOTICE, DerivedLesson, derive_lesson, finished, json_text
from sim.workshop.derive.negatives_page import with_derived_words
from sim.workshop.derive.numbers import habit_numbers
from sim.workshop.derive.sleeves import derived_sleeve, pictures
from sim.workshop.derive.writing_out import differences, replace_folder
from sim.writing import write_text

SLEEVES_FILE = "claims.json"
NEGATIVES_PAGE = "negatives.md"  # stands beside the lessons
Progress = Callable[[str], None]


@dataclass(frozen=True)
class Derived:
    """Everything derived in one run: the files of each folder, and what a person must decide first.

    ``pages`` are pages by hand with what was derived filled in.
    """

    folders: tuple[tuple[Path, dict[str, str]], ...]
    stops: tuple[Stop, ...]
    owed: tuple[str, ...] = ()
    pages: tuple[tuple[Path, str], ...] = ()

    def differences(self) -> list[str]:
        """Return where what stands on disk is not what was derived."""
        shown = [("/".join(folder.parts[-2:]), differences(folder, files)) for folder, files in self.folders]
        other = [f"{page.name} differs" for page, text in self.pages if page.read_text(encoding="utf-8") != text]
        return [f"{folder}: {text}" for folder, texts in shown for text in texts] + other

    def write(self) -> list[str]:
        """Replace every folder that differs; return what differed. Raises Refused while anything makes it stop."""
        if self.stops:
            raise Refused("nothing is written while a claim is broken")
        changed = self.differences()
        for folder, files in self.folders:
            if differences(folder, files):
                replace_folder(folder, files)
        for page, text in self.pages:
            if page.read_text(encoding="utf-8") != text:
                write_text(page, text)
        return changed


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
    begun = mapped(derive_lesson, folders)
    measured = mapped(derived_sleeve, pictures()) if sleeves else ()  # in a pool: begun while the last lessons are under way
    for one in begun:
        lessons.append(one)
        progress(one.name)
    known = {one.name: one.reference for one in lessons}
    whole = [finished(one, _habit(one, known)) for one in lessons]
    out = [(one.folder / DERIVED, one.files) for one in whole]
    stops = [stop for one in whole for stop in one.stops]
    owed: list[str] = []
    pages: list[tuple[Path, str]] = []
    if sleeves:
        facts: dict[str, Any] = {}
        for name, (found, broken) in zip(pictures(), measured, strict=True):
            facts[name] = found
            stops += broken
            owed += [f"sleeve {name}: is not yet {word}" for word in found["owed"]]
            progress(name)
        text = json_text({"notice": NOTICE, "format": 1, "sleeves": facts})
        out.append((SLEEVE_FOLDER / DERIVED, {SLEEVES_FILE: text}))
        page = EXERCISE.shipped / NEGATIVES_PAGE
        teaches = {name: find_sleeve(name).teaches for name in facts}
        pages.append((page, with_derived_words(page.read_text(encoding="utf-8"), teaches, facts)))
    return Derived(tuple(out), tuple(stops), tuple(owed), tuple(pages))


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
