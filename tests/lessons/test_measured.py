"""What is measured of the lessons is kept piece by piece: work that was ended goes on where it stopped."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from .measured import Lesson, Piece, line, measure, read_kept

NAME = "time-from-a-strip"


class Counted(Lesson):
    """A lesson whose pieces cost nothing and are counted."""

    def __init__(self) -> None:
        self.name, self.worked = NAME, 0

    def pieces(self, starts: int, records: int) -> Iterator[tuple[str, Piece]]:
        def piece(value: object) -> Piece:
            def worked() -> object:
                self.worked += 1
                return value

            return worked

        yield "solver", piece(1.0)
        yield f"accidents 0 {records}", piece(0.04)
        for seed in range(starts):
            for skill, share in (("chance", 0.4), ("guessing", 0.5)):
                yield f"{skill} {seed}", piece([share, 0.0, 6.0])
            yield f"rules {seed}", piece([0.9, 1.0, 1.5])
            yield f"coach {seed}", piece([float(seed > 0), 2.0])


def test_what_was_worked_out_is_never_worked_out_again(tmp_path: Path) -> None:
    one = Counted()
    kept = read_kept(tmp_path, NAME)
    assert not measure(one, kept, 2, 50, tmp_path, until_s=-1.0), "no second was left"
    assert one.worked == 0
    assert measure(one, kept, 2, 50, tmp_path, float("inf"))
    assert one.worked == 2 + 2 * 4
    again = read_kept(tmp_path, NAME)
    assert again == kept
    assert measure(one, again, 3, 50, tmp_path, float("inf"))
    assert one.worked == 2 + 3 * 4, "a third start is all that was wanting"
    assert line(NAME, again) == (
        "| `time-from-a-strip` | 2 of 3 | 2.00 | 0.40 | 0.50 | 0.90 | 3 of 3 | 1.50 | 1.00 | 4.0 % |"
    )


def test_pieces_of_another_exercise_are_not_gone_on_with(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = read_kept(tmp_path, NAME)
    measure(Counted(), kept, 1, 50, tmp_path, float("inf"))
    (tmp_path / f"{NAME}.json").rename(tmp_path / "strip-in-stops.json")
    assert set(read_kept(tmp_path, "strip-in-stops")) == {"of"}
