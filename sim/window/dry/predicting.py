"""Before developing, a lesson asks what will be seen; the question is put at the easel, with answers that fit the paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sim.window.kit.events import HANDLED, Answer, Outcome, Question, asked, went

NOT_YET = "not-yet"
MOST_STEPS = 7  # answers that stand side by side in the smallest window
LIGHT = (("lighter", "Lighter than wanted"), ("right", "Just right"), ("darker", "Darker than wanted"))
CONTRAST = (("softer", "Too soft"), ("right", "Just right"), ("harder", "Too hard"))


def answers_for(paper: Any, kind: str, words: Callable[[str], str]) -> tuple[Answer, ...]:
    """Return the answers about the paper in hand: a step of the strip, or how the print will come out; none if it needs more.

    ``kind`` is what the lesson asks to be predicted. Filters and seconds are written down in the lesson itself.
    """
    steps = paper.strip_steps
    if paper.piece.kind == "strip" and len(steps) >= 2:
        if len(steps) > MOST_STEPS:
            return ()
        inner = [Answer(f"step-{n + 1}", f"{step.time_s:.1f} s") for n, step in enumerate(steps)]
        return (Answer("before-first", words("Less than all")), *inner, Answer("after-last", words("More than all")))
    if kind in ("filter", "seconds"):
        return ()
    return tuple(Answer(key, words(label)) for key, label in (CONTRAST if kind == "softer-harder" else LIGHT))


def before_developing(screen: Any) -> Outcome:
    """Go to the wet bench, or ask first what a lesson wants to know first."""
    room, darkroom = screen.room, screen.darkroom
    wanted = darkroom.prediction_wanted()
    if wanted is None:
        return went("wet-bench")
    lesson = room.lesson
    answers = answers_for(darkroom.paper, lesson.exercise.predict if lesson else "", screen.words)
    elsewhere = lesson is not None and (lesson.stage in ("see", "explain") or lesson.shown_next or not answers)
    if elsewhere:
        return Outcome(say=screen.words(wanted), go_to="lessons")

    def then(answer: str) -> Outcome:
        if answer == NOT_YET:
            return HANDLED
        darkroom.predict(answer)
        return went("wet-bench")

    later = Answer(NOT_YET, screen.words("Not yet"))
    title = screen.words("Commit to it before it develops")
    return asked(Question(title, screen.words(wanted), (*answers, later), then))
