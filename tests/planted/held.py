"""A handful of faults, each with the test that must notice it, tried in one go: python -m planted.held prints a line for each.

They stand for what a draw finds where it looks longer; the last two show that the tool itself can tell: a fault that nobody
could notice is said to have survived, and one that only breaks the program is no credit to a test.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from .faults import Fault, in_rooms
from .tree import HERE, Tree, Warm, run_tests

_TOLD, _CARDS = "tests/scoring/test_advice_from_where_on.py", "tests/scoring/test_cards_at_their_limits.py"
_LESSON, _SIGNS = "tests/teaching/test_where_a_lesson_draws_its_lines.py", "tests/marking/test_signs_at_their_limits.py"

# title of the fault: test, outcome
HELD: dict[str, tuple[str, str]] = {
    "scoring/flash_known.py module: 3.0 -> 2.01": (
        f"{_TOLD}::test_no_more_flash_is_told_than_three_times_what_stays_unseen", "noticed"),
    "scoring/put_right.py module: 4.0 -> 6.0": (f"{_CARDS}::test_a_card_is_held_for_four_stops_at_most", "noticed"),
    "scoring/hand_faults.py card_lies_at: <= -> >=": (f"{_CARDS}::test_a_card_so_near_a_place_is_meant_for_it", "noticed"),
    "teaching/own_decisions.py looks_lucky: and -> or": (
        f"{_LESSON}::test_of_ten_other_sheets_half_must_have_come_near", "noticed"),
    "marking/similar_work.py module: 3 -> 4 #2": (
        f"{_SIGNS}::test_very_good_prints_without_a_strip_are_asked_about_from_the_third_exercise_on", "noticed"),
    "marking/similar_work.py module: 0.995 -> 1.14425": (
        f"{_SIGNS}::test_what_is_judged_by_eye_goes_from_blank_to_telling_in_equal_steps", "survived"),
    "marking/changes.py changes_between: before is None -> not (before is None)": (
        f"{_SIGNS}::test_four_exposures_of_a_first_sheet_are_told_and_the_others_counted", "crashed"),
}  # fmt: skip
MOST_S = 60.0


def tried(tree: Tree) -> list[dict[str, Any]]:
    """Return what becomes of every fault of ``HELD``, in their order."""
    known = {fault.title: fault for fault in in_rooms(HERE / "sim", tuple({title.split()[0] for title in HELD}))}
    rows: list[dict[str, Any]] = []

    def tell(fault: Fault, got: dict[str, Any], tests: int) -> None:
        rows.append({"title": fault.title, **got, "tests": tests})

    def together() -> dict[str, Any]:
        files = sorted({test.split("::")[0] for test, _ in HELD.values()})
        code = run_tests(files, Warm(tree, [(known[title], [test]) for title, (test, _) in HELD.items()], tell, MOST_S))
        return {"code": code, "rows": rows}

    found: list[dict[str, Any]] = tree.forked(together, MOST_S * len(HELD))["rows"]
    return found


if __name__ == "__main__":
    assert "sim" not in sys.modules
    with tempfile.TemporaryDirectory() as folder:
        print("\n".join(json.dumps(row) for row in tried(Tree(Path(folder), compiled=False))))
