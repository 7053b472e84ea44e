"""The words of the drill place: help texts, what each drill asks, and what is said of a round."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

Translate = Callable[..., str]

HELP = {
    "place": "Short drills on one decision: ten items, each marked with its cause and direction. They grow finer when the "
    "last answers were near, coarser when they were far.",
    "drills": "One decision each. Enter begins a round of ten.",
    "about-drill": "What the drill asks, and how the last rounds went.",
    "begin-round": "Ten items on this decision. A round may be left at any time; what was answered is kept.",
    "drills-to-lessons": "Back to the shelf of lessons.",
    "drill-question": "The question, with what is known. Arrows scroll it.",
    "drill-seconds": "Type the seconds and press Enter. What counts is how many stops they are off, not how many seconds.",
    "drill-stops": "Type the stops that come on top of the first exposure, such as 1.25, and press Enter.",
    "drill-filter": "The filter to be put in. Left and right choose, Enter says it.",
    "drill-choice": "What you see. Left and right choose, Enter says it.",
    "say-answer": "Says the answer; once it is marked, goes on to the next item.",
    "leave-round": "Ends the round here. What was answered stays in your progress.",
    "once-more": "Another round of the same drill, with other items.",
    "all-drills": "Back to the list of drills.",
}
ABOUT = (
    ("read-the-strip", "A strip is laid on one tone; every step shows the same place. Find the step that just holds it."),
    ("which-is-lighter", "Two prints of one negative differ in light alone. Say which is lighter, and by how much."),
    ("which-is-harder", "Two prints hold the lightest tone alike and differ in filter. Say which is harder."),
    ("prints-in-a-ring", "Nine prints lie around the right one without labels. Find the one that is described."),
    ("find-the-trace", "A card was held still over one of several places and left its outline. Say over which."),
    ("filter-from-the-range", "The easel meter gives the range of light between two places. Choose the filter whose range "
     "of the paper matches it."),
    ("say-the-burn", "A light place has to come down. Say by how many stops it wants more light than the rest."),
    ("new-aperture-new-seconds", "Aperture, height or both change. Say the seconds that keep the tone."),
    ("beside-the-finished-print", "A finished print lies beside a new negative. From how the two films differ, say time and "
     "filter for the new one."),
)  # fmt: skip
LAST_ROUNDS = 5


def about(drill: str, rounds: Sequence[Any], t: Translate) -> tuple[str, ...]:
    """Return what a drill asks, and how the last rounds went."""
    found = [t(words) for name, words in ABOUT if name == drill]
    if rounds:
        each = ", ".join(t("{n} of {all}", n=one.right, all=len(one.errors)) for one in rounds[-LAST_ROUNDS:])
        found.append(t("Your last rounds, right answers: {rounds}.", rounds=each))
    else:
        found.append(t("You have not done this one yet."))
    return tuple(found)


def skill_words(skill: str) -> str:
    """Return a skill's name as it stands in a sentence."""
    return skill.replace("-", " ")


def summary(round_: Any, t: Translate) -> tuple[str, ...]:
    """Return what is said at the end of a round."""
    done = round_.answers
    words = [t("{n} of {all} right.", n=round_.right, all=len(done))]
    wrong = [n + 1 for n, answer in enumerate(done) if not answer.right]
    if wrong:
        worst = max(range(len(done)), key=lambda n: done[n].error)
        words.append(t("Farthest off was item {n}: {what}", n=worst + 1, what=done[worst].words))
    elif done:
        words.append(t("Every answer was near enough. The next round will be finer."))
    recalled = [what.skill for what, _ in zip(round_.asked, done) if what.skill]
    if recalled:
        words.append(t("What was recalled rightly comes back later, the rest tomorrow."))
    return tuple(words)
