"""Which sheets count in a lesson with several negatives or copies: one for each, the one chosen first gives way."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from sim.window.teacher.naming import missing, with_sheet


def _run(sheets: str, copies: int = 1, negatives: str = "ab") -> Any:
    made = [SimpleNamespace(record=SimpleNamespace(negative=name)) for name in sheets]
    return SimpleNamespace(
        evening=SimpleNamespace(state=SimpleNamespace(sheets=made)),
        exercise=SimpleNamespace(copies=copies),
        negatives=[SimpleNamespace(name=name) for name in negatives],
    )


def test_of_one_negative_one_print_counts() -> None:
    run = _run("aab")
    assert with_sheet(run, (), 1) == (1,)
    assert missing(run, (1,)) == 1
    assert with_sheet(run, (1,), 3) == (1, 3)
    assert missing(run, (1, 3)) == 0
    assert with_sheet(run, (1, 3), 2) == (3, 2)
    assert missing(run, (3, 2)) == 0


def test_of_an_edition_the_print_chosen_first_gives_way() -> None:
    run = _run("aaaa", copies=3, negatives="a")
    chosen: tuple[int, ...] = ()
    left = []
    for number in (1, 2, 3, 4):
        chosen = with_sheet(run, chosen, number)
        left.append(missing(run, chosen))
    assert chosen == (2, 3, 4)
    assert left == [2, 1, 0, 0]
    assert with_sheet(run, chosen, 3) == (2, 4, 3), "chosen once more it is the last to give way"
