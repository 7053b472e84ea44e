"""Best, last or first attempt, a limit, and the same file handed in again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from sim.marking.attempts import Handed, attempts_of

START = datetime(2026, 12, 1, tzinfo=UTC)


def handed(*pieces: tuple[str, float | None]) -> list[Handed]:
    """Return files handed in an hour apart: content and points."""
    return [
        Handed(f"file-{n}", content, START + timedelta(hours=n), points) for n, (content, points) in enumerate(pieces)
    ]


FILES = handed(("a", 40.0), ("b", 70.0), ("b", 70.0), ("c", None), ("d", 55.0), ("e", 90.0))
# policy, limit -> content that counts
TABLE = {
    ("best", None): "e", ("last", None): "e", ("first", None): "a", ("best", 3): "b", ("last", 3): "d", ("first", 3): "a",
    ("best", 1): "a", ("last", 2): "b",
}  # fmt: skip


@pytest.mark.parametrize("case", TABLE, ids=str)
def test_the_attempt_that_counts(case: tuple[str, int | None]) -> None:
    found = attempts_of(FILES, case[0], case[1])  # type: ignore[arg-type]
    assert [a.handed.content for a in found if a.counted] == [TABLE[case]]


def test_the_same_file_again_is_no_new_attempt() -> None:
    numbers = [(a.handed.content, a.number) for a in attempts_of(FILES, "best", 3)]
    assert numbers == [("a", 1), ("b", 2), ("b", 0), ("c", 0), ("d", 3), ("e", 4)]


def test_attempts_over_the_limit_are_listed_and_say_so() -> None:
    last = attempts_of(FILES, "best", 3)[-1]
    assert not last.counted
    assert "over the limit of 3" in last.note


def test_the_earlier_of_two_equal_ones_counts() -> None:
    found = attempts_of(handed(("x", 50.0), ("y", 50.0)), "best", None)
    assert [a.handed.content for a in found if a.counted] == ["x"]


def test_the_order_in_which_files_are_found_does_not_matter() -> None:
    assert attempts_of(FILES, "best", 3) == attempts_of(FILES[::-1], "best", 3)


def test_nothing_marked_nothing_counts() -> None:
    assert not any(a.counted for a in attempts_of(handed(("x", None), ("y", None)), "best", None))
