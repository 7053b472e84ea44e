"""The order of the lessons: what each teaches, what it needs first, and whose habit fails in it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.reading import Problem, data_folder, read_toml_of_format, shown
from sim.refusals import refuse_any
from sim.scoring.exercise_file import Name

SYLLABUS_FILE = "syllabus.toml"
Title = Annotated[str, Field(min_length=1, max_length=120)]
HabitCause = Literal[
    "exposure", "contrast", "local", "sharpness", "evenness", "development", "size", "match", "time", "place", "hand", "flash",
]  # fmt: skip


@dataclass(frozen=True)
class LessonEntry:
    """One lesson in its place.

    ``habit_from`` names the lesson whose reference, used here, fails; ``habit_cause`` what advice names first then (several
    where the earlier lesson has prints that fail differently).
    """

    slug: Name
    title: Title
    skill: Name
    needs: Annotated[tuple[Name, ...], Field(max_length=20)] = ()
    kind: Literal["practice", "graded"] = "practice"
    habit_from: Name | Literal[""] = ""
    habit_cause: HabitCause | Annotated[tuple[HabitCause, ...], Field(min_length=2, max_length=3)] | None = None

    @property
    def habit_causes(self) -> tuple[str, ...]:
        """One or several, always as a tuple."""
        given = self.habit_cause
        return () if given is None else (given,) if isinstance(given, str) else given


@dataclass(frozen=True)
class DrillEntry:
    """A short drill on one decision."""

    slug: Name
    title: Title
    skill: Name


@dataclass(frozen=True)
class Syllabus:
    """All lessons and drills, in order."""

    lessons: Annotated[tuple[LessonEntry, ...], Field(validation_alias="lesson", min_length=1, max_length=100)]
    drills: Annotated[tuple[DrillEntry, ...], Field(validation_alias="drill", max_length=50)] = ()

    def lesson(self, slug: str) -> LessonEntry:
        """Return a lesson by its slug. Raises KeyError naming the known ones."""
        for entry in self.lessons:
            if entry.slug == slug:
                return entry
        raise KeyError(f"no lesson {slug!r} in the syllabus; known: {', '.join(entry.slug for entry in self.lessons)}")

    @property
    def skills(self) -> tuple[str, ...]:
        """Every skill, in the order in which it is first taught."""
        return tuple(dict.fromkeys(entry.skill for entry in self.lessons))


def read_syllabus(file: Path | None = None) -> Syllabus:
    """Return the syllabus (default: the one that comes with the program). Raises OutsideError with file and key.

    A skill must be taught before it is needed; a habit must come from an earlier lesson and say what it fails of.
    """
    path = file or data_folder("lessons") / SYLLABUS_FILE
    syllabus = read_toml_of_format(path, Syllabus)
    problems, slugs, skills = [], [], set()
    for index, entry in enumerate(syllabus.lessons):
        for need in entry.needs:
            if need not in skills:
                rule = "must be a skill that an earlier lesson teaches"
                problems.append(Problem(f"lesson[{index}].needs", rule, shown(need)))
        if entry.habit_from and entry.habit_from not in slugs:
            rule = "must be the slug of an earlier lesson"
            problems.append(Problem(f"lesson[{index}].habit_from", rule, shown(entry.habit_from)))
        if bool(entry.habit_from) != bool(entry.habit_causes):
            rule = "must be given together with habit_from, and only with it"
            problems.append(Problem(f"lesson[{index}].habit_cause", rule, shown(entry.habit_cause)))
        if entry.slug in slugs:
            problems.append(Problem(f"lesson[{index}].slug", "must stand only once", shown(entry.slug)))
        slugs.append(entry.slug)
        skills.add(entry.skill)
    refuse_any(path, problems)
    return syllabus
