"""What each drill asks, in words, and how somebody's last rounds of it went."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sim.teaching.progress import DrillDone

Translate = Callable[..., str]

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


def about(drill: str, rounds: Sequence[DrillDone], t: Translate) -> tuple[str, ...]:
    """Return what a drill asks, and how the last rounds went."""
    found = [t(words) for name, words in ABOUT if name == drill]
    if rounds:
        each = ", ".join(t("{n} of {all}", n=one.right, all=len(one.errors)) for one in rounds[-LAST_ROUNDS:])
        found.append(t("Your last rounds, right answers: {rounds}.", rounds=each))
    else:
        found.append(t("You have not done this one yet."))
    return tuple(found)
