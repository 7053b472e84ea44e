"""The words of the lesson place: help texts, and a step's texts as paragraphs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sim.notebook.advice_words import advice_words
from sim.words import Words

Translate = Callable[..., str]

HELP = {
    "place": "Lessons in order. Each asks for a prediction before the paper is developed, and for what you see before "
    "any number is shown.",
    "lessons": "The syllabus in order. A tick: passed. A ring: open. A lock: something else comes first. Enter opens a "
    "lesson.",
    "task": "The task, step by step. It stays in sight while you work.",
    "learner": "What you hand in carries this, so that whoever marks it knows whose it is. A number or a pen name will do.",
    "begin": "Puts the lesson's own box of paper and its negative on the table, or carries on where you left it.",
    "begin-again": "A new attempt with a new box; the old one is kept. Practice has no limit of attempts.",
    "recall": "Three short items at most on what you have met before: recalling is what makes it stay. What you recall "
    "rightly comes back later and later.",
    "drills": "Short rounds on one decision: read a strip, choose a filter, say a burn, find new seconds.",
    "lesson-text": "What the lesson says at this moment. Arrows scroll it.",
    "answers": "Choose what you expect, or what you see, or why. It is written into the evening's log and costs nothing.",
    "own-words": "A sentence of your own beside the answer, if you like. It is kept with the evening.",
    "sheets": "Every piece of paper so far. Enter marks a sheet that counts; with a series mark one for each negative and "
    "copy.",
    "go-on": "On to the next stage, or commits to the answer that is chosen.",
    "to-enlarger": "To the dry side, to make the next piece of paper yourself.",
    "hint": "Three levels: where to look, which principle, a neighbouring case. Between two hints lies a piece of paper.",
    "nominate": "Names the sheet that counts and has it marked. Stopping after a good print saves paper, and paper is "
    "marked too.",
    "hand-in": "Closes the evening and writes it into one file to hand in. Nothing can be added afterwards.",
    "to-shelf": "Back to all lessons. This one stays as it is.",
}


def paragraphs(step: Any, t: Translate) -> tuple[str, ...]:
    """Return what a step says, with the hint taken last."""
    found = [*step.texts]
    if step.hint:
        found.append(f"{t('Hint')} {step.hint_level}: {step.hint}")
    return tuple(" ".join(text.split()) for text in found if text)


def assigned_words(assignment: Any, attempt: int, t: Translate) -> tuple[str, ...]:
    """Return what a course asks: whose bundle it is, until when, and how often it may be handed in."""
    if assignment is None:
        return ()
    words = [t("Course {course}, for {learner}.", course=assignment.course, learner=assignment.learner)]
    if assignment.due:
        words.append(t("To be handed in by {due}.", due=assignment.due))
    if assignment.attempts:
        words.append(
            t("This is attempt {n}; {most} may be handed in.", n=attempt, most=assignment.attempts)
        )
    else:
        words.append(t("This is attempt {n}; there is no limit of attempts.", n=attempt))
    return (" ".join(words),)


def reading_words(step: Any, words: Words) -> list[tuple[str, str, str]]:
    """Return what stands under the readings: (words, size, colour)."""
    t = words.text
    found: list[tuple[str, str, str]] = []
    if step.marks is not None:
        share = t("Quality {share}", share=f"{step.marks.share:.0%}")
        found.append((f"{share}: {t('passed') if step.passed else t('not yet passed')}", "title", "ink"))
    found += [(advice_words(one, words), "body", "ink") for one in step.advice]
    for pair in step.contrasts:
        found += [(line, "small", "soft") for line in pair.words]
    if step.stage != "marks" and step.measured:
        found.append((f"{t('Measured')}: {step.measured}", "body", "ink"))
    if step.stage in ("brief", "predict", "make"):
        left = (f"{step.sheets_left:g}", f"{step.minutes_left:.0f}")
        left_words = t("{sheets} sheets and {minutes} minutes are left.", sheets=left[0], minutes=left[1])
        found.append((left_words, "body", "ink"))
        if step.locked:
            names = ", ".join(_first_small(one.words.partition(" stays ")[0]) for one in step.locked)
            stays = t("Kept as they are, because it is one new decision at a time: {names}.", names=names)
            found.append((stays, "small", "soft"))
    if step.stage == "see":
        found.append((t("First look, then read: the numbers come when you have said what you see."), "body", "ink"))
    return found


def _first_small(words: str) -> str:
    """Return words as they stand within a sentence."""
    return words[:1].lower() + words[1:]
