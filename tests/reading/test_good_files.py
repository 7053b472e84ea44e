"""The files that the hostile cases spoil are good before."""

from __future__ import annotations

from pathlib import Path

import pytest
from hostile import KINDS, write

from sim.enlarger.equipment import read_equipment
from sim.enlarger.filters import graded_filter_set
from sim.negative.sleeve import SLEEVE_FOLDER, find_sleeve
from sim.paper.stock import STOCK_FOLDER, find_stock
from sim.reading import data_folder
from sim.workshop.recipes import read_recipes


@pytest.mark.parametrize("kind", KINDS)
def test_the_good_file_is_read(kind: str, tmp_path: Path) -> None:
    assert KINDS[kind].read(write(tmp_path, kind, KINDS[kind].good())) is not None


@pytest.mark.parametrize("kind", [name for name in KINDS if name not in ("image", "picture", "log")])
def test_a_byte_order_mark_is_no_fault(kind: str, tmp_path: Path) -> None:
    assert KINDS[kind].read(write(tmp_path, kind, b"\xef\xbb\xbf" + KINDS[kind].good())) is not None


@pytest.mark.parametrize("kind", [name for name in KINDS if name not in ("image", "picture")])
def test_line_ends_of_another_system_are_no_fault(kind: str, tmp_path: Path) -> None:
    assert KINDS[kind].read(write(tmp_path, kind, KINDS[kind].good().replace(b"\n", b"\r\n"))) is not None


def test_reading_a_record_twice_gives_equal_records(tmp_path: Path) -> None:
    file = write(tmp_path, "record", KINDS["record"].good())
    assert KINDS["record"].read(file) == KINDS["record"].read(file)


@pytest.mark.parametrize("file", sorted(STOCK_FOLDER.glob("*.toml")), ids=lambda file: file.stem)
def test_every_paper_on_the_shelf_can_be_read(file: Path) -> None:
    assert find_stock(file.stem).title


@pytest.mark.parametrize("file", sorted(SLEEVE_FOLDER.glob("*.toml")), ids=lambda file: file.stem)
def test_every_sleeve_in_the_file_can_be_read(file: Path) -> None:
    assert find_sleeve(file.stem).teaches


def test_the_shipped_filters_heads_lenses_and_recipes_can_be_read() -> None:
    assert len(graded_filter_set()) == 12
    assert all(read_equipment())
    assert read_recipes(data_folder("assets_generated"))
