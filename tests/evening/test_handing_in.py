"""Handing in: one file, read back and checked; and what a marker can tell about a file that was received."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.evening.evening import Evening, EveningEnded
from sim.evening.handing_in import Doubt, NotReady, hand_in, read_submission
from sim.evening.log import Line, append_line, read_log
from sim.negative.negative import Negative, Place
from sim.notebook.doubt_words import doubt_words
from sim.paper.stock import find_stock
from sim.printing.record import Card, PrintingRecord
from sim.printing.record import Path as Track
from sim.printing.record_file import record_data
from sim.printing.setup import strip_on, usual_setup
from sim.reading import MAX_LOG_LINES, MAX_RECORD_BYTES, OutsideError
from sim.words import Words
from sim.writing import WritingFailed

RAMP = np.linspace(0.1, 1.6, 60 * 75, dtype=np.float32).reshape(60, 75)
BOWL = Negative("morning-shelf", RAMP, 0.2, (100.0, 80.0), places=(Place("lit", 0.5, 0.5, 3.0, "lightest"),))
PX_PER_MM = 0.3


def said(*doubts: Doubt | None) -> list[str]:
    return [doubt_words(doubt, Words()) for doubt in doubts if doubt is not None]


def record(time_s: float = 10.0) -> PrintingRecord:
    return usual_setup(BOWL, find_stock("glossy-rc-vc"), time_s=time_s)


def evening(folder: Path, **about: Any) -> Evening:
    return Evening.open(folder / "evening.jsonl", "glossy-rc-vc", 10, 90.0, 3, **about)


@pytest.fixture
def handed(tmp_path: Path) -> Path:
    bench = evening(tmp_path, exercise="bowls", exercise_version=2, exercise_digest="abc", learner="k01", attempt=1)
    bench.predict("darker")
    bench.make(BOWL, strip_on(BOWL, record()).record, PX_PER_MM)
    bench.observe("lighter")
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(2)
    hand_in(bench.file, tmp_path / "handed.jsonl")
    return tmp_path / "handed.jsonl"


def test_what_is_handed_in_is_the_log_closed_by_a_line_that_counts(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    before = bench.file.read_bytes()
    out = hand_in(bench.file, tmp_path / "out.jsonl")
    assert (out.lines, out.sheets, out.nominated) == (4, 1, (1,))
    assert out.file.read_bytes().startswith(before)
    assert json.loads(out.file.read_text().splitlines()[-1])["data"] == {"lines": 3, "sheets": 1}
    assert out.size_bytes == out.file.stat().st_size
    assert bench.file.read_bytes() == before, "the evening itself stays open"
    bench.make(BOWL, record(12.0), PX_PER_MM)


def test_handing_in_again_after_going_on_gives_the_longer_evening(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    hand_in(bench.file, tmp_path / "out.jsonl")
    bench.make(BOWL, record(12.0), PX_PER_MM)
    bench.nominate(2)
    assert hand_in(bench.file, tmp_path / "out.jsonl").nominated == (2,)
    assert len(read_submission(tmp_path / "out.jsonl").state.sheets) == 2


def test_a_file_handed_in_can_be_copied_by_handing_it_in(handed: Path, tmp_path: Path) -> None:
    hand_in(handed, tmp_path / "again.jsonl")
    assert (tmp_path / "again.jsonl").read_bytes() == handed.read_bytes()


def test_nothing_goes_on_in_an_evening_that_was_handed_in(handed: Path) -> None:
    with pytest.raises(EveningEnded, match="handed in"):
        Evening.open(handed).note("one more thing")


def test_it_reads_back_as_opening_state_and_lines(handed: Path) -> None:
    got = read_submission(handed, 2, {"abc"})
    assert got.problems == ()
    assert (got.opening.learner, got.opening.exercise, got.opening.attempt) == ("k01", "bowls", 1)
    assert got.state.nominated == (2,)
    assert [s.choice or s.text for s in got.state.said] == ["darker", "lighter"]
    assert [s.sheets_before for s in got.state.said] == [0, 1]
    assert got.state.handed_in
    assert got.stale is None
    assert len(got.lines) == 7


@pytest.mark.parametrize(
    ("prepare", "words"),
    [
        (lambda bench: None, "nothing has been printed yet"),
        (lambda bench: bench.make(BOWL, record(), PX_PER_MM), "no sheet has been named"),
    ],
)
def test_an_evening_that_is_not_ready_is_refused_in_words(
    prepare: Callable[[Evening], object], words: str, tmp_path: Path
) -> None:
    bench = evening(tmp_path)
    prepare(bench)
    with pytest.raises(NotReady, match=words):
        hand_in(bench.file, tmp_path / "out.jsonl")
    assert not (tmp_path / "out.jsonl").exists()


def test_too_few_sheets_that_count_are_refused(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    with pytest.raises(NotReady, match="asks for 3 sheets that count, got 1"):
        hand_in(bench.file, tmp_path / "out.jsonl", 3)


def test_an_unfinished_evening_is_handed_in_by_whoever_says_so(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.make(BOWL, record(), PX_PER_MM)
    with pytest.raises(NotReady, match=r"asks for \d+ sheets that count, got 1 nominated$"):
        hand_in(bench.file, tmp_path / "out.jsonl", 3, (2,))
    before = bench.file.read_bytes()
    handed = hand_in(bench.file, tmp_path / "out.jsonl", 3, (2,), in_part=True)
    assert handed.nominated == read_submission(handed.file).state.nominated == (2,)
    assert read_submission(handed.file).problems == ()
    assert bench.file.read_bytes() == before  # the evening itself stays as it was left
    for wrong in ((3,), (0,)):
        with pytest.raises(NotReady, match="must be a whole print among the 2 pieces"):
            hand_in(bench.file, tmp_path / "other.jsonl", 3, wrong, in_part=True)
    bench.nominate(1)
    with pytest.raises(NotReady, match="have been named already"):
        hand_in(bench.file, tmp_path / "other.jsonl", 3, (2,), in_part=True)


def test_a_log_must_not_be_handed_in_onto_itself(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    with pytest.raises(NotReady, match="another file"):
        hand_in(bench.file, tmp_path / "." / "evening.jsonl")


def test_a_damaged_log_is_refused_until_it_has_been_opened_again(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    with open(bench.file, "ab") as handle:
        handle.write(b'{"half')
    with pytest.raises(NotReady, match="open the evening once more"):
        hand_in(bench.file, tmp_path / "out.jsonl")
    bench.close()
    Evening.open(bench.file)
    assert hand_in(bench.file, tmp_path / "out.jsonl").sheets == 1


def test_an_empty_log_is_refused(tmp_path: Path) -> None:
    (tmp_path / "evening.jsonl").write_bytes(b"")
    with pytest.raises(NotReady, match="an empty one"):
        hand_in(tmp_path / "evening.jsonl", tmp_path / "out.jsonl")


def test_a_log_too_long_to_be_closed_is_refused_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    monkeypatch.setattr("sim.evening.handing_in.MAX_LOG_LINES", 3)
    with pytest.raises(NotReady, match="4 lines"):
        hand_in(bench.file, tmp_path / "out.jsonl")


def test_a_file_that_does_not_read_back_as_written_is_no_success(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    monkeypatch.setattr("sim.evening.handing_in.write_bytes", lambda path, data: path.write_bytes(data[:-30]))
    with pytest.raises(WritingFailed, match="does not read back"):
        hand_in(bench.file, tmp_path / "out.jsonl")


def test_a_disk_that_refuses_is_said_in_words(tmp_path: Path) -> None:
    bench = evening(tmp_path)
    bench.make(BOWL, record(), PX_PER_MM)
    bench.nominate(1)
    (tmp_path / "out").mkdir()
    with pytest.raises(WritingFailed, match="a folder"):
        hand_in(bench.file, tmp_path / "out")


def test_a_three_hour_evening_of_hand_moved_cards_fits_one_file(tmp_path: Path) -> None:
    rng = np.random.Generator(np.random.PCG64(1))
    bench = Evening.open(tmp_path / "evening.jsonl", "glossy-rc-vc", 80, 180.0, 3)

    def moved() -> Card:
        times = np.sort(rng.uniform(0, 20, 200))
        points = tuple((float(t), float(rng.uniform(0, 254)), float(rng.uniform(0, 203))) for t in times)  # not even rounded
        return Card("oval", Track(points), 120.0, 40.0, 60.0)

    base = record(20.0)
    dense = base.with_exposures(replace(base.exposures[0], cards=tuple(moved() for _ in range(4))))
    while bench.state.seconds_for(dense) <= bench.state.minutes_left * 60.0:
        dense = base.with_exposures(replace(base.exposures[0], cards=tuple(moved() for _ in range(4))))
        bench._decide("sheet", {"record": record_data(bench.with_light_given(dense))})
    bench.nominate(1)
    out = hand_in(bench.file, tmp_path / "out.jsonl")
    assert out.sheets >= 40, "an evening is that long"
    assert out.size_bytes < MAX_RECORD_BYTES
    assert out.lines < MAX_LOG_LINES
    assert read_submission(out.file).problems == ()


def changed(file: Path, number: int, change: Callable[[dict[str, Any]], None]) -> None:
    """Edit one line as an editor would, its hash left as it was."""
    lines = file.read_text("utf-8").splitlines(keepends=True)
    table = json.loads(lines[number])
    change(table)
    lines[number] = json.dumps(table) + "\n"
    file.write_text("".join(lines), "utf-8")


def rechained(file: Path, lines: list[tuple[str, dict[str, Any]]]) -> None:
    """Write a whole forged log whose chain is in order."""
    file.unlink(missing_ok=True)
    last: Line | None = None
    for kind, data in lines:
        last = append_line(file, kind, data, last)


def spoil_time(table: dict[str, Any]) -> None:
    table["data"]["record"]["exposures"][0]["time_s"] = 99.0


TAMPERED: dict[str, tuple[Callable[[list[str]], list[str]], str]] = {
    "cut short by a line": (lambda x: x[:-1], "closing line is missing"),
    "cut within a line": (lambda x: [*x[:-1], x[-1][:20]], "not complete"),
    "a line taken out": (lambda x: [*x[:3], *x[4:]], "moved, taken out or added"),
    "two lines swapped": (lambda x: [x[0], x[2], x[1], *x[3:]], "line 2 does not follow"),
    "a line twice": (lambda x: [*x[:2], x[1], *x[2:]], "line 3 does not follow"),
    "a foreign line": (lambda x: [*x[:2], "hello\n", *x[2:]], "line 3 is no line of an evening's log"),
    "an empty line": (lambda x: [*x[:2], "\n", *x[2:]], "line 3 is no line"),
    "a list for a line": (lambda x: [*x[:2], "[1]\n", *x[2:]], "line 3 is no line"),
    "a line after the end": (lambda x: [*x, x[-1]], "does not follow"),
}


@pytest.mark.parametrize("case", TAMPERED)
def test_a_file_that_was_changed_says_how(case: str, handed: Path) -> None:
    change, words = TAMPERED[case]
    handed.write_text("".join(change(handed.read_text("utf-8").splitlines(keepends=True))), "utf-8")
    got = read_submission(handed)
    assert got.tampered
    assert any(words in reason for reason in said(*got.tampered)), got.tampered
    assert got.opening.learner == "k01"


def test_an_edited_line_is_named_and_what_stands_before_it_is_kept(handed: Path) -> None:
    changed(handed, 4, spoil_time)
    got = read_submission(handed)
    assert got.tampered == (Doubt("line-changed", 5),)
    assert len(got.state.sheets) == 1


def test_an_edited_opening_is_tampered_with_yet_says_whose_it_claims_to_be(handed: Path) -> None:
    changed(handed, 0, lambda table: table["data"].update(learner="k05"))
    got = read_submission(handed)
    assert got.opening.learner == "k05"
    assert got.tampered[0] == Doubt("line-changed", 1)
    assert got.state.sheets == ()


def test_an_edited_hash_shows_on_the_line_and_on_the_next(handed: Path) -> None:
    changed(handed, 2, lambda table: table.update(hash="0" * 64))
    assert len(read_submission(handed).tampered) == 2


def test_a_score_written_into_the_file_changes_nothing_that_is_read(handed: Path) -> None:
    lines = [(line.kind, dict(line.data)) for line in read_log(handed).lines]
    lines[4][1]["points"] = 100
    honest = read_submission(handed)
    rechained(handed, lines)
    assert read_submission(handed).state.sheets == honest.state.sheets
    assert "points" not in repr(read_submission(handed).state)


def test_line_ends_changed_by_a_mail_program_are_no_tampering(handed: Path) -> None:
    handed.write_bytes(b"\xef\xbb\xbf" + handed.read_bytes().replace(b"\n", b"\r\n"))
    assert read_submission(handed).problems == ()


IMPOSSIBLE: dict[str, tuple[Callable[[list[Any]], None], str]] = {
    "more paper than the box held": (lambda x: x[0][1].update(sheets=1), "more paper was used than the box held"),
    "a longer evening": (lambda x: x[0][1].update(minutes=2.0), "lasted longer than its 2 minutes"),
    "a time beyond the timer": (lambda x: x[4][1]["record"]["exposures"][0].update(time_s=9999.0), "time_s"),
    "light from nowhere": (lambda x: x[4][1]["record"]["exposures"][0].update(light_s=20.0), "light recorded for sheet 2"),
    "no light written down": (lambda x: x[4][1]["record"]["exposures"][0].update(light_s=None), "light recorded for sheet 2"),
    "a head nobody has": (lambda x: x[4][1]["record"]["enlarger"].update(head="sun"), "light recorded for sheet 2"),
    "nothing nominated": (lambda x: x.__setitem__(5, ("note", {"text": ""})), "no sheet is named"),
    "a closing line that miscounts": (lambda x: x[6][1].update(sheets=9), "must count"),
    "a sheet nobody made": (lambda x: x[5][1].update(sheets=[7]), "sheets made so far"),
    "a hint of level nine": (lambda x: x.__setitem__(3, ("hint", {"level": 9})), "level"),
    "a line after the closing one": (lambda x: x.append(("note", {"text": "late"})), "must not follow"),
}


@pytest.mark.parametrize("case", IMPOSSIBLE)
def test_a_forged_log_in_good_order_is_held_against_what_can_be(case: str, handed: Path) -> None:
    change, words = IMPOSSIBLE[case]
    lines = [(line.kind, json.loads(json.dumps(line.data))) for line in read_log(handed).lines]
    change(lines)
    rechained(handed, lines)
    got = read_submission(handed)
    assert got.tampered == ()
    assert any(words in reason for reason in said(*got.impossible)), got.impossible


def test_an_exercise_that_has_changed_since_is_reported_beside_the_state(handed: Path) -> None:
    assert "version 2 of the exercise; today's is 3" in said(read_submission(handed, 3, {"abc"}).stale)[0]
    assert "content differs" in said(read_submission(handed, 2, {"other"}).stale)[0]
    assert read_submission(handed, 2, {"abc"}).problems == ()
    assert read_submission(handed).stale is None


NO_LOG = {
    "nothing": b"", "a letter": b"Dear teacher,\n", "a picture": bytes(range(256)), "a list": b"[1,2,3]\n",
    "json of another kind": b'{"a": 1}\n', "not opened": None, "an opening without paper": None,
}  # fmt: skip


@pytest.mark.parametrize("case", NO_LOG)
def test_what_is_no_log_at_all_is_refused(case: str, tmp_path: Path) -> None:
    file = tmp_path / "x.jsonl"
    if NO_LOG[case] is not None:
        file.write_bytes(NO_LOG[case] or b"")
    else:
        append_line(file, "note" if case == "not opened" else "opened", {"text": "x"}, None)
    with pytest.raises(OutsideError, match=r"x\.jsonl"):
        read_submission(file)


def test_a_missing_or_huge_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OutsideError, match="cannot be opened"):
        read_submission(tmp_path / "none")
    (tmp_path / "huge").write_bytes(b"x" * (MAX_RECORD_BYTES + 1))
    with pytest.raises(OutsideError, match="must not be larger"):
        read_submission(tmp_path / "huge")


def test_too_many_lines_are_said_and_the_work_is_bounded(handed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.evening.handing_in.MAX_LOG_LINES", 4)
    assert read_submission(handed).tampered[0] == Doubt("too-many-lines", allowed=4)


def test_whatever_happens_to_a_file_it_is_refused_or_read(handed: Path, tmp_path: Path) -> None:
    rng = np.random.Generator(np.random.PCG64(11))
    good = handed.read_bytes()
    honest = read_submission(handed).lines
    spoilt = tmp_path / "spoilt.jsonl"
    unchanged = 0
    for _ in range(300):
        data = bytearray(good)
        for _ in range(int(rng.integers(1, 6))):
            at = int(rng.integers(len(data)))
            kind = int(rng.integers(4))
            if kind == 0:
                data[at] = int(rng.integers(256))
            elif kind == 1:
                del data[at : at + int(rng.integers(1, 200))]
            elif kind == 2:
                data[at:at] = data[at : at + int(rng.integers(1, 50))]
            else:
                data[at:at] = bytes(rng.choice(list(b'{}[]",:\n0e.-\\'), 3).tolist())
        spoilt.write_bytes(bytes(data))
        try:
            got = read_submission(spoilt)
        except OutsideError:
            continue
        if not got.problems:
            assert got.lines == honest, "what passes is what was written"
            unchanged += 1
    assert unchanged < 5
