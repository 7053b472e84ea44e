"""What a verb leaves alone: a negative made for one learner of a course, to be printed in the evening it was given out for."""

from __future__ import annotations

from collections.abc import Iterable

from sim.refusals import Refused


def refuse_of_a_course(names: Iterable[str]) -> None:
    """Raise Refused where a negative is a learner's own in a course: outside its evening no paper is counted."""
    from sim.scoring.variants import is_of_a_course

    for name in names:
        if is_of_a_course(name):
            raise Refused(
                f"{name} was given out in a course, and its print is its learner's to find: in the evening it belongs to, "
                "with the paper that goes with it (tonewright lesson --folder BUNDLE)"
            )
