"""A learner's progress laid out to be drawn: skills with their curves, sheets used, what is next. For window and page."""

from __future__ import annotations

from dataclasses import dataclass

from sim.scoring.syllabus import Syllabus
from sim.teaching.progress import Progress, needed_for, next_lesson, retrieval_items


@dataclass(frozen=True)
class SkillPicture:
    """One skill: the negatives it was passed on, the shares of quality over attempts, sheets used in the last one."""

    skill: str
    title: str
    met: bool
    needed: int
    negatives: tuple[str, ...]
    curve: tuple[float, ...]
    passed: tuple[bool, ...]
    modes: tuple[str, ...]
    sheets: float
    expected_sheets: float


@dataclass(frozen=True)
class DrillPicture:
    """One drill: share of right answers and mean error (in tolerances), round by round."""

    drill: str
    right: tuple[float, ...]
    errors: tuple[float, ...]


@dataclass(frozen=True)
class ProgressPicture:
    """Everything a page or the window shows."""

    learner: str
    day: int
    skills: tuple[SkillPicture, ...]
    drills: tuple[DrillPicture, ...]
    recall: tuple[str, ...]
    next_lesson: str
    next_title: str
    evenings: int
    sheets_used: float
    sheets_expected: float

    @property
    def skills_met(self) -> int:
        """How many skills have been met."""
        return sum(skill.met for skill in self.skills)


def progress_picture(progress: Progress, syllabus: Syllabus, day: int) -> ProgressPicture:
    """Return the progress laid out over the syllabus; skills of exercises outside it follow at the end."""
    needed = needed_for(syllabus)
    following = next_lesson(progress, syllabus, needed)
    own = [one.skill for done in progress.evenings.values() for one in done]
    skills = tuple(dict.fromkeys([*syllabus.skills, *own]))
    every = [one for done in progress.evenings.values() for one in done]
    return ProgressPicture(
        progress.learner, day, tuple(_skill(progress, skill, needed.get(skill, 2)) for skill in skills),
        tuple(_drill(progress, name) for name in sorted(progress.drills)), retrieval_items(progress, day),
        following.slug if following else "", following.title if following else "", len(every),
        sum(one.sheets for one in every), sum(one.expected_sheets for one in every),
    )  # fmt: skip


def _skill(progress: Progress, skill: str, needed: int) -> SkillPicture:
    done = progress.evenings_of(skill)
    words = skill.replace("-", " ")
    return SkillPicture(
        skill, words[0].upper() + words[1:], progress.mastered(skill, needed), needed, tuple(progress.met.get(skill, [])),
        tuple(one.share for one in done), tuple(one.passed for one in done), tuple(one.mode for one in done),
        done[-1].sheets if done else 0.0, done[-1].expected_sheets if done else 0.0,
    )  # fmt: skip


def _drill(progress: Progress, name: str) -> DrillPicture:
    rounds = [one for one in progress.drills[name] if one.errors]
    return DrillPicture(
        name, tuple(one.right / len(one.errors) for one in rounds),
        tuple(sum(one.errors) / len(one.errors) for one in rounds),
    )  # fmt: skip
