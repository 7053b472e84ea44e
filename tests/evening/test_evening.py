"""An evening without a window: the box, the clock, the sheet that counts, and the same evening again from its log."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.enlarger.equipment import find_head
from sim.enlarger.light_given import dead_time_s
from sim.evening.evening import Evening, EveningEnded
from sim.evening.evening_state import AFTER_DEVELOPER_S, HANDLING_S, EveningState, Opening, state_of
from sim.evening.log import append_line, read_log
from sim.negative.negative import Negative, Place
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import strip_on, usual_setup
from sim.reading import OutsideError, ValueRefused
from sim.writing import WritingFailed

RAMP = np.linspace(0.1, 1.6, 60 * 75, dtype=np.float32).reshape(60, 75)
BOWL = Negative("bowl", RAMP, 0.2, (100.0, 80.0), places=(Place("lit", 0.5, 0.5, 3.0, "lightest"),))
PX_PER_MM = 0.3


def record(time_s: float = 10.0, paper: str = "glossy-rc-vc") -> PrintingRecord:
    return usual_setup(BOWL, find_stock(paper), time_s=time_s)


def evening(folder: Path, sheets: int = 10, minutes: float = 90.0, seed: int = 3) -> Evening:
    return Evening.open(folder / "evening.jsonl", "glossy-rc-vc", sheets, minutes, seed)


def test_a_sheet_costs_a_sheet_and_a_strip_a_quarter(tmp_path: Path) -> None:
    bench = evening(tmp_path, sheets=2)
    assert bench.state.sheets_left == 2.0
    bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    assert bench.state.sheets_left == 1.75
    bench.make(BOWL, record(), PX_PER_MM)
    assert bench.state.sheets_left == 0.75
    assert [made.number for made in bench.state.sheets] == [1, 2]


def test_the_box_runs_out_in_words_and_nothing_is_used_up(tmp_path: Path) -> None:
    bench = evening(tmp_path, sheets=1)
    bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    before = (bench.file.read_bytes(), bench.state)
    with pytest.raises(EveningEnded, match=r"the box must hold the paper asked for, got 0\.75 sheets left"):
        bench.make(BOWL, record(), PX_PER_MM)
    assert (bench.file.read_bytes(), bench.state) == before
    for _ in range(3):
        bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    assert bench.state.sheets_left == 0.0
    with pytest.raises(EveningEnded, match="got 0 sheets left"):
        bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)


@pytest.mark.parametrize("paper", ["glossy-rc-vc", "glossy-fb-vc"])
def test_the_clock_adds_handling_exposures_developer_and_baths(paper: str, tmp_path: Path) -> None:
    bench = evening(tmp_path)
    split = record(12.0, paper)
    split = split.with_exposures(*split.exposures, Exposure(8.0, 8.0))
    bench.make(BOWL, split, PX_PER_MM)
    support = find_stock(paper).support
    seconds = HANDLING_S + 12.0 + 8.0 + split.development.time_s + AFTER_DEVELOPER_S[support]
    assert bench.state.used_s == pytest.approx(seconds)
    assert bench.state.minutes_left == pytest.approx(90.0 - seconds / 60.0)
    assert bench.state.sheets[0].minute == pytest.approx(seconds / 60.0)


def test_the_evening_ends_in_words_before_anything_is_used_up(tmp_path: Path) -> None:
    bench = evening(tmp_path, minutes=5.0)
    bench.make(BOWL, record(), PX_PER_MM)
    with pytest.raises(EveningEnded, match=r"the evening must last long enough, got 1\.9 minutes left"):
        bench.make(BOWL, record(), PX_PER_MM)
    assert len(read_log(bench.file).lines) == 2


def test_the_last_nomination_counts(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    for _ in range(2):
        bench.make(BOWL, record(), PX_PER_MM)
    assert bench.state.nominated == ()
    bench.nominate(2)
    bench.nominate(1)
    assert bench.state.nominated == (1,)


@pytest.mark.parametrize("number", [0, -1, 2, 99])
def test_only_a_sheet_made_can_be_nominated(number: int, tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    with pytest.raises(ValueError, match=f"sheet must be between 1 and 1, got {number}"):
        bench.nominate(number)
    assert bench.state.nominated == ()
    assert len(read_log(bench.file).lines) == 2


def test_the_light_drawn_depends_on_seed_and_sheet_alone(tmp_path: Path) -> None:
    drawn = []
    for name, seed in (("a", 3), ("b", 3), ("c", 4)):
        (tmp_path / name).mkdir()
        bench = evening(tmp_path / name, seed=seed)
        bench.note("a note draws nothing")
        for _ in range(3):
            bench.make(BOWL, record(), PX_PER_MM)
        drawn.append([made.record.exposures[0].light_s for made in bench.state.sheets])
    assert drawn[0] == drawn[1]
    assert drawn[0] != drawn[2]
    assert len(set(drawn[0])) == 3, "every sheet has its own"
    dead_s = dead_time_s(find_head(record().enlarger.head))
    assert all(abs((light or 0.0) - (10.0 - dead_s)) < 0.3 for light in drawn[0])


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("head", ["led-sheet", "cold-cathode-sheet"])
def test_the_longest_time_can_be_given_whatever_the_timer_draws(head: str, seed: int, tmp_path: Path) -> None:
    bench = evening(tmp_path, seed=seed)
    longest = record(600.0)
    given = bench.with_light_given(replace(longest, enlarger=replace(longest.enlarger, head=head)))
    assert given.exposures[0].light_s == pytest.approx(600.0, abs=1.0)


def test_replay_gives_bit_identical_prints(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    made = [bench.make(BOWL, record(t)) for t in (6.0, 9.0)]
    state = state_of(read_log(bench.file).lines, bench.file)
    for kept, sheet in zip(state.sheets, made, strict=True):
        again = make_print(BOWL, kept.record, find_stock(kept.record.sheet.paper))
        assert again.density.tobytes() == sheet.density.tobytes()
        assert again.frame_mm == sheet.frame_mm


def test_an_evening_goes_on_after_a_crash_with_the_same_state(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.note("half a stop more")
    bench.nominate(1)
    with open(bench.file, "ab") as handle:  # the power went while a line was being written
        handle.write(b'{"data":{"record":{"negative":"bo')
    bench.close()  # the lock goes with the program
    again = Evening.open(bench.file, "glossy-fb-vc", sheets=99, minutes=1.0, seed=99)
    assert again.state == bench.state
    assert again.last == bench.last
    assert again.damage is not None
    assert "moved to evening.jsonl.damaged-1" in again.damage
    again.make(BOWL, record(), PX_PER_MM)
    undisturbed = bench.with_light_given(record())
    assert again.state.sheets[1].record == undisturbed, "the timer draws what it would have drawn"


def test_a_decision_that_cannot_be_kept_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import os

    bench = evening(tmp_path)
    before = (bench.state, bench.last, bench.file.read_bytes())

    def full(*args: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(WritingFailed, match="No space left on device"):
        bench.make(BOWL, record(), PX_PER_MM)
    monkeypatch.undo()
    assert (bench.state, bench.last, bench.file.read_bytes()) == before
    bench.make(BOWL, record(), PX_PER_MM)
    assert len(bench.state.sheets) == 1


def test_a_record_that_could_not_be_read_back_uses_no_paper(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    with pytest.raises(ValueRefused, match=r"record\.note: must not be longer than 2000 characters"):
        bench.make(BOWL, replace(record(), note="y" * 3000), PX_PER_MM)
    assert bench.state.sheets == ()
    bench.close()
    assert Evening.open(bench.file).state == bench.state


@pytest.mark.parametrize("text", ["äöü – ß 🙂", "two\nlines", "a\x1b[31mred\x00", "lone \ud800", "y" * 5000, ""])
def test_any_note_is_kept_and_can_be_read_again(text: str, tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.note(text)
    bench.close()
    again = Evening.open(bench.file)
    assert again.damage is None
    assert again.state.notes == bench.state.notes
    assert len(again.state.notes[0]) == min(len(text), 2000)
    if text.startswith(("ä", "two")):
        assert again.state.notes[0] == text


OPENINGS = {
    "no-sheets": ({"sheets": 0}, "sheets: .*greater than or equal to 1, got 0"),
    "too-many-sheets": ({"sheets": 501}, "sheets: .*less than or equal to 500, got 501"),
    "half-a-sheet": ({"sheets": 1.5}, "sheets: .*integer, got 1.5"),
    "no-time": ({"minutes": 0.0}, "minutes: .*greater than 0, got 0.0"),
    "nan-time": ({"minutes": float("nan")}, "minutes: .*got nan"),
    "negative-seed": ({"seed": -1}, "seed: .*got -1"),
    "text-as-seed": ({"seed": "x"}, "seed: .*got 'x'"),
    "unknown-paper": ({"paper": "tin"}, "paper: must be one of .*got 'tin'"),
}


@pytest.mark.parametrize("case", OPENINGS)
def test_an_impossible_opening_is_refused_and_makes_no_log(case: str, tmp_path: Path) -> None:
    given, words = OPENINGS[case]
    with pytest.raises(ValueRefused, match=words):
        Evening.open(tmp_path / "evening.jsonl", **given)  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == []


FORGED = {
    "not-opened": [("note", {"text": "x"})],
    "opened-twice": [("opened", None), ("opened", None)],
    "unknown-kind": [("opened", None), ("dance", {})],
    "nominated-too-early": [("opened", None), ("nominated", {"sheet": 1})],
    "nominated-yes": [("opened", None), ("nominated", {"sheet": True})],
    "sheet-without-record": [("opened", None), ("sheet", {})],
    "sheet-with-a-list": [("opened", None), ("sheet", {"record": [1]})],
    "sheet-with-half-a-record": [("opened", None), ("sheet", {"record": {"negative": "bowl"}})],
    "opening-with-more": [("opened", {"paper": "glossy-rc-vc", "sheets": 1, "minutes": 1.0, "seed": 1, "bonus": 3})],
}


@pytest.mark.parametrize("case", FORGED)
def test_a_log_whose_lines_cannot_be_is_refused_in_words_and_left_alone(case: str, tmp_path: Path) -> None:
    file = tmp_path / "evening.jsonl"
    last = None
    good = {"paper": "glossy-rc-vc", "sheets": 10, "minutes": 90.0, "seed": 3}
    for kind, data in FORGED[case]:
        last = append_line(file, kind, good if data is None else data, last)
    before = file.read_bytes()
    with pytest.raises(OutsideError) as caught:
        Evening.open(file)
    assert str(file) in str(caught.value)
    assert file.read_bytes() == before


def test_the_log_holds_the_record_as_it_was_printed(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    line = json.loads(bench.file.read_text("utf-8").splitlines()[1])
    assert line["data"]["record"]["exposures"][0]["light_s"] == bench.state.sheets[0].record.exposures[0].light_s


def test_strips_count_in_quarters_in_the_state_alone() -> None:
    opening = Opening(paper="glossy-rc-vc", sheets=3, minutes=30.0, seed=1)
    assert EveningState(opening, strips_used=5, used_s=90.0).sheets_left == 1.75
    assert EveningState(opening, strips_used=5, used_s=90.0).minutes_left == 28.5
