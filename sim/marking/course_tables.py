"""The tables that people keep beside a course: points given, decisions, comments, steps by eye. Read as one.

A blind marker writes the codes that the anonymous pages show. They lead back to ids for whoever holds the course's secret;
a code that leads nowhere stays as it is and is found when the marks are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import Protocol, TypeVar

from sim.marking.by_eye import EyeMark, read_eye_marks
from sim.marking.comments import Comment, read_bank, read_comments
from sim.marking.course import Course, read_secret
from sim.marking.overrides import Override, read_overrides
from sim.marking.review import Decision, read_decisions
from sim.marking.roster import anonymous_code, is_code
from sim.reading import Problem, ValueRefused, shown

Key = tuple[str, str]


class OfALearner(Protocol):
    """A line of a table about one learner and one exercise."""

    @property
    def learner(self) -> str: ...
    @property
    def exercise(self) -> str: ...


Line = TypeVar("Line", Override, Decision, Comment, EyeMark)


@dataclass(frozen=True)
class CourseTables:
    """What people wrote, by learner's id. ``by_code`` holds what was written about a code: blind, so it names nobody.

    ``there_before`` holds the contents of the files that lay there when a re-opening without ``when`` was first read.
    """

    overrides: tuple[Override, ...] = ()
    decisions: tuple[Decision, ...] = ()
    comments: tuple[Comment, ...] = ()
    eye_marks: tuple[EyeMark, ...] = ()
    by_code: frozenset[Comment] = field(default_factory=frozenset)
    there_before: Mapping[Key, frozenset[str]] = field(default_factory=dict)

    @cached_property
    def decided(self) -> Mapping[Key, Decision]:
        """The decisions about a learner's exercise as a whole; those that name a file are ``of_files``."""
        return {(one.learner, one.exercise): one for one in self.decisions if not one.file}

    @cached_property
    def of_files(self) -> Mapping[Key, tuple[Decision, ...]]:
        """The decisions that each name one file, by learner and exercise, in the order they were written."""
        found: dict[Key, tuple[Decision, ...]] = {}
        for one in self.decisions:
            if one.file:
                key = (one.learner, one.exercise)
                found[key] = (*found.get(key, ()), one)
        return found

    def came_after(self, decision: Decision, content: str, received: datetime) -> bool:
        """Tell whether a file came after a re-opening was decided."""
        if decision.when is not None:
            return received > decision.when
        return content not in self.there_before.get((decision.learner, decision.exercise), frozenset())

    @cached_property
    def given(self) -> Mapping[Key, Override]:
        """Points in the place of marks, by learner and exercise: from the overrides, and those of decisions."""
        partial = {
            key: Override(one.learner, one.exercise, one.points, one.reason, one.private)
            for key, one in self.decided.items()
            if one.choice == "partial" and one.points is not None
        }
        return {(one.learner, one.exercise): one for one in self.overrides} | partial

    @cached_property
    def said(self) -> Mapping[Key, tuple[Comment, ...]]:
        """The comments by learner and exercise, in the order they were written."""
        found: dict[Key, tuple[Comment, ...]] = {}
        for one in self.comments:
            key = (one.learner, one.exercise)
            found[key] = (*found.get(key, ()), one)
        return found

    @cached_property
    def seen(self) -> Mapping[tuple[str, str, str], EyeMark]:
        """The steps by learner, exercise and criterion."""
        return {(one.learner, one.exercise, one.criterion): one for one in self.eye_marks}

    @property
    def lines(self) -> Iterable[OfALearner]:
        """Every line of every table."""
        return (*self.overrides, *self.decisions, *self.comments, *self.eye_marks)


def read_tables(course: Course, ids: Sequence[str], overrides_file: Path | None = None) -> CourseTables:
    """Return the tables that a course names, with ids in the place of codes. Raises OutsideError.

    ``overrides_file`` takes the place of the course's own.
    """
    bank = read_bank(course.comment_bank) if course.comment_bank else {}
    given = overrides_file or course.overrides
    overrides = read_overrides(given) if given else ()
    decisions = read_decisions(course.review) if course.review else ()
    comments = read_comments(course.comments, bank) if course.comments else ()
    eye_marks = read_eye_marks(course.by_eye) if course.by_eye else ()
    every: list[OfALearner] = [*overrides, *decisions, *comments, *eye_marks]
    codes = _codes(course, ids, [one.learner for one in every])
    named = CourseTables(
        _named(overrides, codes), _named(decisions, codes), _named(comments, codes), _named(eye_marks, codes),
        frozenset(_named([one for one in comments if one.learner in codes], codes)),
    )  # fmt: skip
    points = [(one.learner, one.exercise) for one in named.overrides]
    partial = [key for key, one in named.decided.items() if one.choice == "partial" and key in points]
    _refuse_twice(given or course.file, points)
    _refuse_twice(course.review or course.file,
                  [*((one.learner, one.exercise, one.file) for one in named.decisions),
                   *((*key, "") for key in partial)])  # fmt: skip
    _refuse_twice(course.by_eye or course.file, [(m.learner, m.exercise, m.criterion) for m in named.eye_marks])
    return named


def _codes(course: Course, ids: Sequence[str], names: Sequence[str]) -> dict[str, str]:
    """Return ids by code, where codes stand in a table and the course has a secret."""
    if course.secret_file is None or not any(is_code(name) for name in set(names) - set(ids)):
        return {}
    secret = read_secret(course)
    return {anonymous_code(one, secret): one for one in ids}


def _named(lines: Iterable[Line], codes: Mapping[str, str]) -> tuple[Line, ...]:
    return tuple(replace(one, learner=codes.get(one.learner, one.learner)) for one in lines)


def _refuse_twice(file: Path, keys: Sequence[tuple[str, ...]]) -> None:
    twice = [key for key, count in Counter(keys).items() if count > 1]
    if twice:
        rule = "must not be given twice, by id and by code or in two tables"
        raise ValueRefused(file, [Problem("learner", rule, shown(", ".join(filter(None, key)))) for key in twice[:40]])
