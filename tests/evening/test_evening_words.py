"""Words in the evening's log: predictions, observations, hints, several sheets that count; and logs of earlier versions."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.evening.evening import Evening
from sim.evening.evening_state import Opening, state_of
from sim.evening.log import append_line, read_log
from sim.negative.negative import Negative, Place
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.printing.setup import strip_on, usual_setup
from sim.reading import OutsideError

RAMP = np.linspace(0.1, 1.6, 60 * 75, dtype=np.float32).reshape(60, 75)
BOWL = Negative("bowl", RAMP, 0.2, (100.0, 80.0), places=(Place("lit", 0.5, 0.5, 3.0, "lightest"),))
PX_PER_MM = 0.3


def record(time_s: float = 10.0) -> PrintingRecord:
    return usual_setup(BOWL, find_stock("glossy-rc-vc"), time_s=time_s)


def evening(folder: Path, **about: Any) -> Evening:
    return Evening.open(folder / "evening.jsonl", "glossy-rc-vc", 10, 90.0, 3, **about)


def test_a_log_of_an_earlier_version_is_still_read(tmp_path: Path) -> None:
    file = tmp_path / "evening.jsonl"
    last = append_line(file, "opened", {"paper": "glossy-rc-vc", "sheets": 10, "minutes": 90.0, "seed": 3}, None)
    given = record_data(evening(tmp_path / "b").with_light_given(record()))
    last = append_line(file, "sheet", {"record": given}, last)
    last = append_line(file, "sheet", {"record": given}, last)
    last = append_line(file, "nominated", {"sheet": 2}, last)
    append_line(file, "note", {"text": "good"}, last)
    bench = Evening.open(file)
    assert bench.state.nominated == (2,)
    assert bench.state.notes == ("good",)
    assert bench.state.opening.exercise == ""
    assert bench.state.opening.negatives == []
    bench.nominate(1, 2)
    bench.close()
    assert Evening.open(file).state.nominated == (1, 2)


def test_an_evening_of_ones_own_writes_the_same_opening_as_before(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    line = json.loads(bench.file.read_text("utf-8"))
    assert line["data"] == {"paper": "glossy-rc-vc", "sheets": 10, "minutes": 90.0, "seed": 3}


def test_an_exercise_stands_in_the_opening_and_comes_back(tmp_path: Path) -> None:
    about: dict[str, Any] = {
        "exercise": "bowls", "exercise_version": 2, "exercise_digest": "d", "learner": "κ01", "attempt": 3,
        "negatives": ("bowl", "cup~k"), "maker_version": "1.2", "mode": "solo",
    }  # fmt: skip
    evening(tmp_path, **about)
    opening = Evening.open(tmp_path / "evening.jsonl").state.opening
    assert opening == Opening(
        paper="glossy-rc-vc", sheets=10, minutes=90.0, seed=3, **{**about, "negatives": ["bowl", "cup~k"]}
    )


def test_words_keep_their_order_and_know_the_sheets_before_them(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.predict("darker", "by half a stop")
    bench.make(BOWL, record(), PX_PER_MM)
    bench.observe("lighter")
    bench.explain("exposure")
    bench.hint(1)
    bench.pull(40.0, "too early")
    bench.predict("step-4")
    bench.close()
    again = Evening.open(bench.file).state
    assert again == bench.state
    assert [(s.kind, s.sheets_before, s.line) for s in again.said] == [
        ("predicted", 0, 1), ("observed", 1, 3), ("explained", 1, 4), ("hint", 1, 5), ("pulled", 1, 6), ("predicted", 1, 7),
    ]  # fmt: skip
    assert (again.said[0].choice, again.said[0].text) == ("darker", "by half a stop")
    assert again.said[3].level == 1
    assert (again.said[4].time_s, again.said[4].text) == (40.0, "too early")
    assert [s.choice for s in again.said_of("predicted")] == ["darker", "step-4"]
    assert [s.choice for s in again.said_of("predicted", 1)] == ["step-4"]


def test_the_prediction_is_on_disk_before_the_sheet(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.predict("darker")
    assert [line.kind for line in read_log(bench.file).lines] == ["opened", "predicted"]
    bench.make(BOWL, record(), PX_PER_MM)
    assert [line.kind for line in read_log(bench.file).lines] == ["opened", "predicted", "sheet"]


def test_what_is_no_printable_text_becomes_a_question_mark(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.predict("dar\x1bker", "x" * 5000)
    bench.observe("\ud800")
    bench.close()
    again = Evening.open(bench.file).state.said
    assert (again[0].choice, len(again[0].text)) == ("dar?ker", 2000)
    assert again[1].text == "?"


def test_several_sheets_can_count_each_once(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    for _ in range(3):
        bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(3, 1)
    assert bench.state.nominated == (3, 1)
    for wrong in ((), (1, 1), (4,), (1, 0)):
        with pytest.raises(ValueError, match="got"):
            bench.nominate(*wrong)
    bench.close()
    assert Evening.open(bench.file).state.nominated == (3, 1)


def test_a_strip_cannot_be_the_sheet_that_counts(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    with pytest.raises(ValueError, match="got the strip 1"):
        bench.nominate(1)


def test_a_word_that_cannot_be_read_back_is_refused_and_not_written(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    before = bench.file.read_bytes()
    for level in (0, 4, True):
        with pytest.raises(OutsideError, match="level"):
            bench.hint(level)
    with pytest.raises(OutsideError, match="time_s"):
        bench.pull(-1.0)
    assert bench.file.read_bytes() == before
    assert bench.state.said == ()


WRONG: list[tuple[str, dict[str, Any]]] = [
    ("predicted", {"choice": 3}), ("predicted", {"choice": "x" * 201}), ("predicted", {"chioce": "x"}),
    ("observed", {"text": 1}), ("explained", {"words": ""}), ("hint", {}), ("hint", {"level": 1.5}),
    ("pulled", {"time_s": 1e9}),
    ("handed-in", {"lines": 1}), ("handed-in", {"lines": 9, "sheets": 0}), ("nominated", {"sheets": []}),
    ("nominated", {"sheets": 1}), ("nominated", {"sheets": [1, 1]}), ("nominated", {"sheets": [True]}), ("nominated", {}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "data"), WRONG)
def test_a_line_that_cannot_be_is_refused_with_its_number(kind: str, data: dict[str, Any], tmp_path: Path) -> None:
    bench = evening(tmp_path)
    append_line(bench.file, kind, data, bench.last)
    with pytest.raises(OutsideError, match=r"evening\.jsonl"):
        state_of(read_log(bench.file).lines, bench.file)


def test_a_strip_is_a_quarter_of_the_sheets_used(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    bench.make(BOWL, record(), PX_PER_MM)
    assert bench.state.sheets_used == 1.25
