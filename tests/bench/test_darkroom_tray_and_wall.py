"""Wet side and wall: what comes up in the tray is make_print's sheet, and the wall measures what the densitometer reads."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.bench.darkroom import Darkroom
from sim.bench.tools import CardPose, Tool
from sim.command.main import main
from sim.negative.develop import find_negative
from sim.notebook.notebook import export, pages
from sim.paper.development import Development
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Card, Circling, Still
from sim.printing.record_file import read_record, record_from_data, record_json
from sim.refusals import Refused
from sim.viewing.densitometer import spot_density
from sim.viewing.lightness import screen_values
from tests.bench.darkrooms import SIZE, small_room

HOLD = Card("oval", Circling(100.0, 100.0, 8.0, 1.6), 120.0, 50.0, 40.0, stop_s=2.0)


@pytest.fixture
def room(tmp_path: Path) -> Darkroom:
    return small_room(tmp_path)


def _split(room: Darkroom) -> None:
    room.desk.set("filter", "00")
    room.paper.expose(4.0, [HOLD])
    room.desk.set("filter", "5")
    room.paper.expose(5.0)


def _one(room: Darkroom) -> None:
    room.paper.expose(6.0)


@pytest.mark.parametrize("stain_share", [0.0, 0.4])
@pytest.mark.parametrize("work", [_one, _split])
@pytest.mark.parametrize("wet", [True, False])
def test_a_frame_in_the_tray_is_make_print_with_that_development(
    tmp_path: Path, work: object, wet: bool, stain_share: float
) -> None:
    room = small_room(tmp_path, stain_share=stain_share)
    room.paper.take("sheet")
    work(room)  # type: ignore[operator]
    room.tray.put_in()
    tray = room.kept.tray
    assert tray is not None
    for t_s in (0.0, 8.0, 17.0, 30.0, 60.0, 200.0):
        seen = room.tray.frame(t_s, SIZE, wet=wet).astype(int)
        record = replace(tray.record, development=Development(t_s))
        px_per_mm = room.tray.px_per_mm(SIZE)
        sheet = make_print(room.desk.negative, record, find_stock("glossy-rc-vc"), px_per_mm, wet=wet)
        assert np.abs(seen - screen_values(sheet.density)).max() <= 1, f"after {t_s} s"


def test_a_sheet_goes_through_all_baths_and_hangs_on_the_wall(room: Darkroom) -> None:
    room.paper.take("sheet")
    _one(room)
    room.tray.put_in()
    assert (room.tray.stage, room.tray.number, room.tray.wanted_s) == ("developer", None, 60.0)
    with pytest.raises(Refused, match="until it has been in the fixer"):
        room.switch_white_light(True)
    with pytest.raises(Refused, match="in the developer"):
        room.paper.take("sheet")
    blank = room.tray.picture(SIZE)
    room.tray.advance(60.0)
    assert room.tray.picture(SIZE).min() < blank.min()
    before = room.minutes_left
    stages = [room.tray.next() for _ in range(4)]
    assert stages == ["stop", "fix", "wash", "dry"]
    assert room.tray.number == 1
    assert before - room.minutes_left == pytest.approx((40 + 6 + 60 + 75) / 60)
    room.switch_white_light(True)
    room.tray.clear()
    assert room.tray.stage == ""
    dry = room.wall.picture(1, SIZE)
    assert dry.shape[0] <= SIZE[1]
    assert dry.shape[1] <= SIZE[0]


def test_a_pulled_sheet_keeps_its_seconds_and_lacks_its_black(room: Darkroom) -> None:
    for seconds in (22.0, 60.0):
        room.paper.take("sheet")
        room.paper.expose(30.0)
        room.tray.put_in()
        room.tray.advance(seconds)
        room.tray.next()
        room.tray.finish()
    pulled, full = (made.record for made in room.evening.state.sheets)
    assert (pulled.development.time_s, full.development.time_s) == (22.0, 60.0)
    assert [(s.kind, s.time_s) for s in room.evening.state.said] == [("pulled", 22.0)]
    assert room.wall.sheet(1).density.max() < room.wall.sheet(2).density.max() - 0.1


def test_the_light_drawn_for_the_tray_is_the_light_in_the_log(room: Darkroom) -> None:
    room.paper.take("sheet")
    _split(room)
    room.tray.put_in()
    tray = room.kept.tray
    assert tray is not None
    in_tray = tray.record.exposures
    assert all(e.light_s is not None for e in in_tray)
    room.tray.finish()
    assert room.wall.record(1).exposures == in_tray


def _two(room: Darkroom) -> None:
    for filtration, seconds in (("2", 8.0), ("4", 8.0)):
        room.desk.set("filter", filtration)
        room.paper.take("sheet")
        room.paper.expose(seconds, [HOLD])
        room.tray.put_in()
        room.tray.finish()
        room.tray.clear()


def test_of_film_turned_over_the_walls_places_lie_where_the_thing_in_the_picture_is(room: Darkroom) -> None:
    room.desk.set("flipped", True)
    room.paper.take("sheet")
    room.paper.expose(8.0)
    room.tray.put_in()
    room.tray.finish()
    at = {name: (x, y) for name, x, y, _ in room.wall.places(1)}
    cup, dark = (room.wall.read(1, *at[name], 4.0).density for name in ("cup", "dark"))
    assert at["cup"][0] < at["dark"][0]  # the cup stands at the right of the film
    assert dark - cup > 0.5
    assert {p.place: p.density for p in room.wall.curve(1).points}["cup"] == pytest.approx(cup, abs=0.01)


def test_densitometer_curve_and_quadrants_agree_at_every_place(room: Darkroom) -> None:
    _two(room)
    for number in (1, 2):
        places = {name: (x, y) for name, x, y, _ in room.wall.places(number)}
        curve, chain = room.wall.curve(number), room.wall.tone_chain(number)
        assert {p.place for p in curve.points} == set(places) == {p.place for p in chain.points} == {"cup", "wall", "dark"}
        for point, link in zip(curve.points, chain.points):
            read = room.wall.read(number, *places[point.place], 4.0)
            assert point.density == pytest.approx(read.density, abs=0.01)
            assert link.print_density == pytest.approx(read.density, abs=0.01)
            assert link.log_exposure == pytest.approx(point.log_exposure, abs=0.005)
            on_curve = float(np.interp(point.log_exposure, curve.log_exposure, curve.density))
            assert on_curve == pytest.approx(read.density, abs=0.05)  # the spot averages light, the curve takes its mean
            step = room.wall.reference_scale()[read.nearest_step - 1]
            assert step == pytest.approx(read.step_density)
            assert abs(step - read.density) <= 0.06 or read.density > 2.05


def test_two_prints_are_compared_in_picture_numbers_and_words(room: Darkroom) -> None:
    _two(room)
    same = room.wall.difference(1, 1, SIZE)
    assert (same.mean, same.largest, same.share_visible, same.words) == (0.0, 0.0, 0.0, ())
    assert set(np.unique(same.picture)) == {128}
    there, back = room.wall.difference(1, 2, SIZE), room.wall.difference(2, 1, SIZE)
    assert there.mean == pytest.approx(-back.mean)
    assert there.share_visible > 0.2
    assert there.words == ("filter 2 → 4",)
    darker = (there.picture < 120).mean() > (there.picture > 136).mean()
    assert darker == (there.mean > 0.0)


def test_what_changed_is_said_in_stops(room: Darkroom) -> None:
    room.paper.take("sheet")
    room.paper.expose(8.0)
    room.tray.put_in()
    room.tray.finish()
    room.desk.set("f_number", 11.0)
    room.paper.take("sheet")
    room.paper.expose(16.0, [Card("disc", Still(50.0, 50.0), 100.0, 30.0)])
    room.tray.put_in()
    room.tray.finish()
    words = room.wall.difference(1, 2, SIZE).words
    assert "time 8.0 s → 16.0 s (+1.00 stop)" in words
    assert any(w.startswith("aperture f/8 → f/11 (−1.00 stop") for w in words)
    assert any(w.startswith("card added: a disc of 30 mm") for w in words)


def test_nominating_and_the_wall_list(room: Darkroom) -> None:
    _two(room)
    room.wall.nominate(2)
    assert room.wall.nominated == (2,)
    assert [p.nominated for p in room.wall.prints()] == [False, True]
    for wrong in (0, 3, True):
        with pytest.raises(ValueError, match="sheet must be"):
            room.wall.read(wrong, 10.0, 10.0)


def test_a_strip_on_the_wall_knows_its_steps(room: Darkroom) -> None:
    room.paper.take("strip")
    room.paper.lay_strip((2.0, 4.0, 8.0, 16.0), "covered", 90.0)
    room.tray.put_in()
    room.tray.finish()
    (strip,) = room.wall.prints()
    assert [s.time_s for s in strip.strip_steps] == pytest.approx([2.0, 4.0, 8.0, 16.0])
    tones = [room.wall.read(1, s.x_mm, s.y_mm).density for s in strip.strip_steps]
    assert tones[0] < tones[-1]


def test_the_record_on_the_wall_printed_by_the_command_is_the_identical_print(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    room = Darkroom.open(tmp_path / "evening", negative="cup-close")
    room.paper.take("sheet")
    room.paper.begin_exposure(3.0)
    for k in range(60):
        room.paper.advance(0.05, [CardPose(Tool("oval", 40.0, 30.0), 90.0 + k, 100.0 + 0.5 * k)])
    room.paper.expose(2.0, [HOLD])
    room.tray.put_in()
    room.tray.finish()
    file = tmp_path / "record.json"
    file.write_text(record_json(room.wall.record(1)))
    again = make_print(find_negative("cup-close"), read_record(file), find_stock("glossy-rc-vc"))
    assert np.array_equal(again.density, room.wall.sheet(1).density)
    monkeypatch.chdir(tmp_path)
    assert main(["print", str(file), "-o", "p.png", "--json"]) == 0
    readings = {r["place"]: r["print_density"] for r in json.loads(capsys.readouterr().out)["readings"]}
    for name, x, y, _ in room.wall.places(1):  # the wall reads a fine piece of the sheet, the command the whole
        spot = next(p.spot_mm for p in find_negative("cup-close").places if p.name == name)
        assert readings[name] == pytest.approx(room.wall.read(1, x, y, spot).density, abs=0.0015)


def test_the_notebook_holds_every_sheet_with_its_record(room: Darkroom, tmp_path: Path) -> None:
    room.predict("darker", "=by half a stop")
    _two(room)
    room.evening.explain("<b>too hard</b>")
    room.note("a good evening")
    room.wall.nominate(2)
    index = export(room.evening.state, room.wall.picture, tmp_path / "out")
    assert [page.number for page in pages(room.evening.state)] == [1, 2]
    text = index.read_text()
    assert "&lt;b&gt;too hard" in text
    assert "<b>too hard" not in text
    for number in (1, 2):
        data = json.loads((tmp_path / "out" / "records" / f"sheet-{number:02d}.json").read_text())
        assert record_from_data(tmp_path, data) == room.wall.record(number)
        assert (tmp_path / "out" / "prints" / f"sheet-{number:02d}.png").stat().st_size > 1000
        assert f"prints/sheet-{number:02d}.png" in text
    table = (tmp_path / "out" / "index.csv").read_text()
    assert table.count("\n") == 3
    assert ",yes,morning-shelf," in table
    assert spot_density(room.wall.sheet(1), 100.0, 100.0) > 0.0
