"""The tests stand in rooms as the program does, and what is said of their files is said of files that are there."""

from __future__ import annotations

from pathlib import Path

import light_table
import pytest
from night import LONG, first_of_all

import sim

PACKAGE, TESTS = Path(sim.__file__).parent, Path(__file__).parents[1]
FILES = sorted(TESTS.rglob("*.py"))
MOST_LINES = 500


def test_every_room_has_its_tests() -> None:
    rooms = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert len(rooms) > 10
    assert [room for room in sorted(rooms) if not [*(TESTS / room).glob("test_*.py")]] == []


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(TESTS).as_posix())
def test_no_file_is_longer_than_one_reads_at_a_sitting(file: Path) -> None:
    assert len(file.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


def test_files_and_folders_that_are_treated_apart_are_there() -> None:
    there = {file.name for file in FILES} | {file.parent.name for file in FILES}
    assert (light_table.DEVELOPED_ANEW | light_table.PRINTED_SMALL | light_table.WEIGHS_MEMORY) - there == set()
    assert [name for name in LONG if not (TESTS / name).is_file()] == []


def test_long_files_come_first_and_the_others_in_the_order_of_their_names() -> None:
    names = ["tests/words/test_words.py", f"tests/{LONG[3]}", "tests/assets/test_assets.py", f"tests/{LONG[0]}"]
    assert sorted(sorted(names), key=first_of_all) == [names[3], names[1], names[2], names[0]]
