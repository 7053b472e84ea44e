"""The printing map is one whole page; a print made again keeps its tone and its cards their place in the picture."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.command.main import main
from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.notebook.printing_map import map_pages, write_map
from sim.notebook.reprint import reference_place, reprinted
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_above, burnt_in, held_back
from sim.printing.make_print import frame_on_sheet, make_print
from sim.printing.record import Circling, PrintingRecord
from sim.printing.record import Path as CardPath
from sim.printing.record_file import record_from_data, write_record
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strips import lay_strip, stop_times_s
from sim.viewing.densitometer import spot_density

NAME = "morning-shelf"


def _record(time_s: float = 9.0) -> PrintingRecord:
    """Return a split print with a place held back, one burnt in, and the top burnt in."""
    negative = find_negative(NAME)
    record = usual_setup(negative, find_stock("glossy-rc-vc"), time_s=time_s, filtration=FilterSetting("1"))
    hard = replace(record.exposures[0], time_s=6.0, filter=FilterSetting("4"))
    record = record.with_exposures(*record.exposures, hard)
    record = held_back(record, 0, 80.0, 120.0, 45.0, 0.5, 30.0)
    record = burnt_in(record, 0, 140.0, 180.0, 40.0, 1.0)
    return burnt_above(record, 0, 60.0, 0.7)


def test_the_map_names_every_step_place_and_caution_and_nothing_runs_off_the_page() -> None:
    record = _record()
    pages = map_pages(record)
    texts = [text for figure in pages for axes in figure.axes for text in axes.texts]
    words = [text.get_text() for text in texts]
    for place in find_negative(NAME).places:
        assert place.name.replace("-", " ") in words
    for exposure in record.exposures:
        assert f"{exposure.time_s:.1f}" in words
    assert {"1a", "3", "4"} <= set(words)
    assert {"+1.0", "+0.7"} <= set(words)  # 9.0 and 5.6 s more where filter 1 gave 9 s before; filter 4 is another light
    assert "\N{MINUS SIGN}0.5" in words
    assert "wet hands off switches" in " ".join(words)
    for figure in pages:
        figure.canvas.draw()
        width, height = figure.canvas.get_width_height()
        for text in figure.axes[0].texts:
            box = text.get_window_extent()
            assert box.x0 >= 0
            assert box.x1 <= width * 0.97, text.get_text()
            assert box.y0 >= 0
            assert box.y1 <= height


def test_a_strip_and_a_crowded_record_still_fit_on_the_page() -> None:
    negative, stock = find_negative(NAME), find_stock("glossy-rc-vc")
    base = usual_setup(negative, stock)
    strip = lay_strip(strip_on(negative, base).record, stop_times_s(2.0, 0.5, 9), 8.0, FilterSetting("2"), "bursts", 90.0)
    crowded = base
    for k in range(8):
        crowded = held_back(crowded, 0, 20.0 + 20.0 * k, 100.0, 30.0, 0.3)
        crowded = burnt_in(crowded, 0, 20.0 + 20.0 * k, 160.0, 30.0, 0.3)
    for record in (strip.record, crowded):
        for figure in map_pages(record):
            figure.canvas.draw()
            assert min(text.get_window_extent().y0 for text in figure.axes[0].texts) >= 0


def test_the_same_record_gives_the_same_page(tmp_path: Path) -> None:
    record = _record()
    for name in ("a.pdf", "b.pdf", "a.png", "b.png"):
        write_map(record, tmp_path / name)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    with pytest.raises(ValueError, match=r"must be a \.png or \.pdf"):
        write_map(record, tmp_path / "a.gif")


def _tone(record: PrintingRecord) -> float:
    """Return the reference place's net density, cards and burns left out."""
    negative, stock = find_negative(record.negative), find_stock(record.sheet.paper)
    bare = record.with_exposures(*(replace(e, cards=()) for e in record.exposures))
    sheet = make_print(negative, bare, stock)
    place = reference_place(negative, record)
    return spot_density(sheet, *sheet.place_mm(place), place.spot_mm) - sheet.base_plus_fog


def test_a_larger_print_keeps_the_tone_and_the_cards_their_place_in_the_picture() -> None:
    before = _record()
    after, notes = reprinted(before, size_mm=(305.0, 406.0))
    negative = find_negative(NAME)
    assert _tone(after) == pytest.approx(_tone(before), abs=0.01)
    old, new = frame_on_sheet(negative, before), frame_on_sheet(negative, after)
    ratio = new[2] / old[2]
    assert ratio == pytest.approx(305.0 / 203.0, rel=0.01)
    for one, two in zip(before.exposures, after.exposures):
        for card, larger in zip(one.cards, two.cards):
            assert larger.width_mm == pytest.approx(card.width_mm * ratio)
            assert larger.stop_s / two.time_s == pytest.approx(card.stop_s / one.time_s, abs=1e-3)
            if isinstance(card.motion, Circling) and isinstance(larger.motion, Circling):
                x = (card.motion.x_mm - old[0]) / old[2]
                assert (larger.motion.x_mm - new[0]) / new[2] == pytest.approx(x, abs=1e-3)
    assert any("times as large" in note for note in notes)
    assert any("focus again" in note for note in notes)


def test_there_and_back_is_the_same_record() -> None:
    before = _record()
    there, _ = reprinted(before, size_mm=(305.0, 381.0))
    back, _ = reprinted(there, size_mm=(203.0, 254.0))
    for one, two in zip(before.exposures, back.exposures):
        assert two.time_s == pytest.approx(one.time_s, rel=0.01)
    assert back.enlarger.height_mm == pytest.approx(before.enlarger.height_mm, abs=1.5)


@pytest.mark.parametrize(("paper", "negative"), [("matt-fb-vc", None), (None, "cup-close"), ("glossy-fb-vc", "racks-thin")])
def test_another_paper_or_negative_gets_the_tone(paper: str | None, negative: str | None) -> None:
    before = _record(14.0)
    after, notes = reprinted(before, negative, None, paper)
    assert after.negative == (negative or NAME)
    assert _tone(after) == pytest.approx(_tone(before), abs=0.02)
    assert any("keep the tone" in note for note in notes)


def test_a_path_by_hand_keeps_its_share_of_the_time() -> None:
    record = _record()
    card = replace(record.exposures[0].cards[0], motion=CardPath(((0.0, 50.0, 50.0), (2.0, 60.0, 60.0))))
    record = record.with_exposures(replace(record.exposures[0], cards=(card,)), *record.exposures[1:])
    after, _ = reprinted(record, size_mm=(127.0, 178.0))
    motion = after.exposures[0].cards[0].motion
    assert isinstance(motion, CardPath)
    share = after.exposures[0].time_s / record.exposures[0].time_s
    assert motion.points[1][0] == pytest.approx(2.0 * share, abs=1e-3)


def test_what_cannot_be_made_again_is_refused_in_words() -> None:
    negative, stock = find_negative("pit-large-sheet"), find_stock("glossy-rc-vc")
    contact = usual_setup(negative, stock)
    with pytest.raises(ValueError, match="as large as its negative"):
        reprinted(contact, size_mm=(406.0, 508.0))
    with pytest.raises(ValueError, match="got a strip"):
        reprinted(strip_on(find_negative(NAME), _record()).record)
    with pytest.raises(ValueError, match="must be between"):
        reprinted(_record(500.0), size_mm=(406.0, 508.0))


def test_the_verbs_write_what_they_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    write_record(tmp_path / "r.json", _record())
    assert main(["map", "r.json", "-o", "page.png"]) == 0
    assert main(["reprint", "r.json", "--size", "305x406", "--paper", "matt-fb-vc"]) == 0
    said = capsys.readouterr().out
    assert "Printing map written to page.png" in said
    assert "times as large" in said
    new = record_from_data(tmp_path, json.loads((tmp_path / "r-reprint.json").read_text()))
    assert (new.sheet.width_mm, new.sheet.paper) == (305.0, "matt-fb-vc")
    assert main(["map", "r-reprint.json"]) == 0
    assert (tmp_path / "r-reprint-map.pdf").read_bytes()[:5] == b"%PDF-"
    for wrong in (["map", "r.json", "-o", "x.gif"], ["reprint", "r.json", "--size", "huge"], ["map", "nothing.json"]):
        assert main(wrong) == 2
    assert np.isfinite(new.total_time_s)
    assert reprinted(new)[1]
