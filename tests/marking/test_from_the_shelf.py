"""A submission chooses from the shelf: names only, nothing of the marker's disk, and what cannot be is out of range."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from at_once import marked, row_of
from class_room import ClassRoom, class_room, rewritten

from sim.enlarger.equipment import EQUIPMENT_FILE
from sim.evening.evening import Evening
from sim.evening.handing_in import read_submission
from sim.evening.log import read_log
from sim.marking.class_page import class_text
from sim.marking.feedback_page import feedback_text
from sim.negative.develop import find_negative
from sim.negative.sleeve import SLEEVE_FOLDER
from sim.paper.stock import STOCK_FOLDER, find_stock
from sim.printing.possible import why_impossible
from sim.printing.record import Card, Still
from sim.printing.record_file import record_data
from sim.printing.setup import usual_setup
from sim.reading import OutsideError
from sim.shelf import SHIPPED

Record = dict[str, Any]
SECRET_WORDS = "the-marker's-own-words"


@pytest.fixture
def two(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ClassRoom:
    """A course of two learners, on the disk of a marker who has papers and negatives of their own."""
    own = tmp_path / "own"
    for folder, source in (("papers", STOCK_FOLDER / "glossy-rc-vc.toml"), ("negatives", SLEEVE_FOLDER / "step-wedge.toml")):
        (own / folder).mkdir(parents=True)
        (own / folder / "mine.toml").write_text(source.read_text("utf-8"), "utf-8")
        (own / folder / "secret.toml").write_text(f"format = 1\ntitle = \"{SECRET_WORDS}\"\n{SECRET_WORDS} = [\n", "utf-8")
    monkeypatch.setattr("sim.shelf.own_folder", lambda: own)
    return class_room(tmp_path / "course", roster=("k01", "k02"))


def with_record(file: Path, change: Callable[[Record], None], line: int = 2) -> None:
    """Write a log again with the record of one line changed and the chain made anew."""
    record = json.loads(json.dumps(read_log(file).lines[line].data["record"]))
    change(record)
    rewritten(file, {line: {"record": record}})


def named(*keys: str, value: object) -> Callable[[Record], None]:
    def change(record: Record) -> None:
        *way, last = keys
        for key in way:
            record = record[key] if isinstance(record, dict) else record[int(key)]
        record[last] = value

    return change


OWN = ("own:mine", "own:secret", "own:nothing", "own:../../x")
PLACES = ("{own}/papers/mine.toml", "{own}/papers/mine", "{own}/negatives/secret.toml", "/etc/passwd", "../x", "a\u202eb", "")
KEYS = (("sheet", "paper"), ("negative",), ("enlarger", "head"), ("enlarger", "lens"))


@pytest.mark.parametrize("keys", KEYS, ids="-".join)
@pytest.mark.parametrize("line", [1, 2], ids=["first-sheet", "nominated-sheet"])
def test_what_is_not_on_the_shelf_is_out_of_range_and_nothing_of_the_disk_is_read(
    two: ClassRoom, keys: tuple[str, ...], line: int, tmp_path: Path
) -> None:
    two.hand("k02")
    own = tmp_path / "own"
    for text in (*OWN, *PLACES, str(EQUIPMENT_FILE)):
        name = text.format(own=own)
        file = two.hand("k01")
        with_record(file, named(*keys, value=name), line)
        found = marked(two)
        row = row_of(found, "k01")
        assert (row.status, row.limit, row.points) == ("out-of-range", "", None), name
        assert row_of(found, "k02").points is not None
        pages = feedback_text(found.results, "k01", found.marked) + class_text(found.results, found.marked)
        assert SECRET_WORDS not in pages
        assert SECRET_WORDS not in found.results.model_dump_json()
        shown = pages.replace(f"{own}/papers/mine.toml", "")
        assert str(tmp_path / "course") not in shown
        assert "not valid TOML" not in pages


def test_a_box_that_names_a_file_is_never_opened(two: ClassRoom, tmp_path: Path) -> None:
    file = two.hand("k01")
    rewritten(file, {0: {"paper": str(tmp_path / "own" / "papers" / "secret.toml")}})
    row = row_of(marked(two), "k01")
    assert (row.status, row.limit) == ("out-of-range", "")
    assert SECRET_WORDS not in "".join(row.reasons)


def test_work_at_an_exercise_is_never_done_on_ones_own(two: ClassRoom, tmp_path: Path) -> None:
    with pytest.raises(OutsideError, match="nobody's own"):
        Evening.open(tmp_path / "a.jsonl", "own:mine", exercise="grey-steps")
    assert not (tmp_path / "a.jsonl").exists()
    evening = Evening.open(tmp_path / "a.jsonl", exercise="grey-steps")
    record = two.record(3.0)
    for one in (replace(record, negative="own:mine"), replace(record, sheet=replace(record.sheet, paper="own:mine"))):
        with pytest.raises(OutsideError, match="nobody's own"):
            evening._decide("sheet", {"record": record_data(evening.with_light_given(one))})
    own = Evening.open(tmp_path / "b.jsonl", "own:mine")
    mine = replace(record, negative="own:mine", sheet=replace(record.sheet, paper="own:mine"))
    own.make(find_negative("own:mine"), mine, 1.0)
    own.nominate(1)
    assert read_submission(tmp_path / "b.jsonl").impossible == ()
    assert read_submission(tmp_path / "b.jsonl", shelf=SHIPPED).impossible != ()


def _card(height_mm: float) -> dict[str, Any]:
    record = usual_setup(find_negative("step-wedge"), find_stock("glossy-rc-vc"))
    card = Card("disc", Still(10.0, 10.0), height_mm)
    data = record_data(record.with_exposures(replace(record.exposures[0], cards=(card,))))
    found: dict[str, Any] = data["exposures"][0]["cards"][0]
    return found


IMPOSSIBLE = {
    "an aperture wider than the lens": named("exposures", "0", "f_number", value=2.8),
    "an aperture smaller than the lens": named("exposures", "0", "f_number", value=64.0),
    "a head off its column": named("enlarger", "height_mm", value=2900.0),
    "a head down on the paper": named("enlarger", "height_mm", value=110.0),
    "f/1 on any lens": named("exposures", "0", "f_number", value=1.0),
    "a column of four metres": named("enlarger", "height_mm", value=4000.0),
    "a lens that does not cover the frame": named("enlarger", "lens", value="50-mm"),
    "a gate too small for the frame": named("enlarger", "head", value="condenser-small"),
    "a card above the lens": lambda record: record["exposures"][0].update(cards=[_card(1400.0)]),
    "a sheet of another size": named("sheet", "width_mm", value=400.0),
    "a sheet that is all border": named("sheet", "border_mm", value=29.0),
    "an image beside the sheet": named("sheet", "image_shift_mm", value=[290.0, 290.0]),
    "another paper of the house": named("sheet", "paper", value="matt-fb-vc"),
    "a contact print under too low a head": named("enlarger", "contact", value=True),
    "a filter that is none": named("exposures", "0", "filter", "graded", value="6"),
    "no exposure": named("exposures", value=[]),
    "a key of tomorrow": named("tomorrow", value=1),
    "another form": named("format", value=99),
}


@pytest.mark.parametrize("case", IMPOSSIBLE, ids=lambda case: case.replace(" ", "-"))
def test_what_no_darkroom_does_is_out_of_range_and_no_crash(two: ClassRoom, case: str) -> None:
    with_record(two.hand("k01"), IMPOSSIBLE[case])
    row = row_of(marked(two), "k01")
    assert (row.status, row.limit, row.points) == ("out-of-range", "", None)
    assert row.reasons


FIRST_SHEET = [case for case in IMPOSSIBLE if case.startswith(("an aperture", "a head", "a lens", "a gate", "a card"))]


@pytest.mark.parametrize("case", FIRST_SHEET, ids=lambda case: case.replace(" ", "-"))
def test_a_sheet_that_does_not_count_must_be_possible_too(two: ClassRoom, case: str) -> None:
    with_record(two.hand("k01"), IMPOSSIBLE[case], line=1)
    row = row_of(marked(two), "k01")
    assert (row.status, row.limit, row.points) == ("out-of-range", "", None)
    assert "sheet 1" in row.reasons[0]


def test_what_can_be_printed_is_possible() -> None:
    negative = find_negative("morning-shelf")
    record = usual_setup(negative, find_stock("glossy-rc-vc"))
    assert why_impossible(negative, record) == ""
    assert "on the column" in why_impossible(negative, replace(record, enlarger=replace(record.enlarger, height_mm=2900.0)))
