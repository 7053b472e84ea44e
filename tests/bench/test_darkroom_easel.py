"""The easel: a negative is seen inverted, brighter with a wider lens, blurred out of focus; the meter keeps a tone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sim.bench.darkroom import Darkroom
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.easel_view import EaselPicture
from sim.bench.projection import Projector
from sim.bench.tools import CardPose, Tool
from sim.enlarger.easel_light import project
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.refusals import Refused
from sim.viewing.densitometer import spot_density
from tests.bench.darkrooms import SIZE, shadow_now, small_room


@pytest.fixture
def room(tmp_path: Path) -> Darkroom:
    lit = small_room(tmp_path)
    lit.desk.set("focus_light", True)
    return lit


def _px(picture: EaselPicture, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Return column and row of a point of the easel."""
    return (x_mm - picture.region_mm[0]) * picture.px_per_mm - 0.5, (y_mm - picture.region_mm[1]) * picture.px_per_mm - 0.5


def _at(room: Darkroom, x: float, y: float) -> float:
    picture = room.easel.picture(SIZE)
    left, top, width, height = room.desk.frame_mm
    col, row = _px(picture, left + x * width, top + y * height)
    return float(picture.values[round(row) - 1 : round(row) + 2, round(col) - 1 : round(col) + 2].mean())


def test_a_negative_is_projected_and_dense_places_are_dark(room: Darkroom) -> None:
    assert _at(room, 0.1, 0.5) > 1.5 * _at(room, 0.9, 0.5) > 0.0


def test_with_the_lamp_off_the_easel_is_dark(room: Darkroom) -> None:
    room.desk.set("focus_light", False)
    picture = room.easel.picture(SIZE)
    assert not picture.lit
    assert picture.values.max() == 0


def test_stopping_down_darkens_the_picture_and_so_does_raising_the_head(room: Darkroom) -> None:
    wide = _at(room, 0.3, 0.5)
    room.desk.set("f_number", 11.0)
    closed = _at(room, 0.3, 0.5)
    assert closed < wide
    room.desk.set("height_mm", room.desk.now.height_mm + 150.0)
    room.desk.focus()
    assert _at(room, 0.3, 0.5) < closed


def test_a_quick_change_of_aperture_shows_what_a_fresh_projection_shows(room: Darkroom, tmp_path: Path) -> None:
    room.desk.set("f_number", 16.0)
    room.easel.picture(SIZE)
    room.desk.set("f_number", 5.6)
    quick = room.easel.picture(SIZE).values.astype(int)
    room.close()
    fresh = Darkroom.open(tmp_path, negatives=DevelopedNegatives(room.desk.negative))
    assert np.abs(quick - fresh.easel.picture(SIZE).values).max() <= 3


def test_out_of_focus_is_seen(room: Darkroom) -> None:
    room.desk.set("f_number", 5.6)
    sharp = room.easel.picture((600, 750)).values.astype(float)
    room.desk.set("focus_offset_mm", 3.0)
    soft = room.easel.picture((600, 750)).values.astype(float)
    inner = (slice(75, 140), slice(65, 200))
    assert np.abs(np.diff(soft[inner], axis=1)).mean() < 0.8 * np.abs(np.diff(sharp[inner], axis=1)).mean()
    assert room.easel.loupe(100, 120).contrast_5_lp_mm < 0.3
    room.desk.focus()
    crop = room.easel.loupe(100, 120)
    assert crop.contrast_5_lp_mm > 0.8
    assert crop.px_per_mm >= 20.0
    assert crop.values.shape == (240, 240)


def test_blades_frame_the_picture_where_the_border_is(room: Darkroom) -> None:
    picture = room.easel.picture((600, 750))
    inside = picture.values[375, round(_px(picture, 6.0 + 2.0, 0.0)[0])]
    under = picture.values[375, round(_px(picture, 6.0 - 2.0, 0.0)[0])]
    assert under < inside


def test_the_red_filter_colours_the_light_and_a_magenta_one_too(room: Darkroom) -> None:
    room.desk.set("magenta", 0.8)
    red, green, _ = room.easel.picture(SIZE).tint
    assert green < red
    room.desk.set("red_filter", True)
    red, green, blue = room.easel.picture(SIZE).tint
    assert max(green, blue) < 0.3 * red


def test_the_meter_reads_a_stop_for_a_stop_and_keeps_a_tone(room: Darkroom) -> None:
    left, top, width, height = room.desk.frame_mm
    place = (left + 0.5 * width, top + 0.5 * height)
    assert room.easel.meter(*place).stops is None
    room.easel.hold_reference(*place)
    before = room.desk.base_record()
    room.desk.set("f_number", 16.0)
    read = room.easel.meter(*place)
    assert read.stops == pytest.approx(-2.0, abs=0.02)
    assert read.paper_stops == pytest.approx(-2.0, abs=0.02)
    room.desk.set("filter", "4")
    room.desk.set("height_mm", room.desk.now.height_mm + 60.0)
    room.desk.focus()
    time_s, factor = room.easel.time_that_keeps_tone()
    assert factor == pytest.approx(time_s / before.exposures[0].time_s)
    room.desk.set("time_s", round(time_s, 2))
    negative, stock = room.desk.negative, find_stock(room.desk.now.paper)
    tones = []
    for record in (before, room.desk.base_record()):
        sheet = make_print(negative, record, stock)
        l2, t2, w2, h2 = sheet.frame_mm
        tones.append(spot_density(sheet, l2 + 0.5 * w2, t2 + 0.5 * h2, 5.0))
    assert tones[1] == pytest.approx(tones[0], abs=0.02)
    with pytest.raises(Refused, match="in the picture"):
        room.easel.meter(-50.0, 0.0)


def test_a_card_in_the_light_throws_a_shadow_with_a_soft_edge_and_a_wire(room: Darkroom) -> None:
    pose = CardPose(Tool("disc", 40.0, wire_mm=2.0, wire_towards_deg=0.0), 100.0, 120.0, 150.0)
    low = CardPose(Tool("disc", 40.0, wire_mm=0.0), 100.0, 120.0, 20.0)
    view = room.easel.view_grid((600, 750))
    high, near = shadow_now(room, *view, [pose]), shadow_now(room, *view, [low])
    picture = room.easel.picture((600, 750))
    col, row = (round(v) for v in _px(picture, 100.0, 120.0))
    assert high[row, col] == 0.0
    soft, hard = ((m[row, :col] > 0.02) & (m[row, :col] < 0.98) for m in (high, near))
    assert soft.sum() > hard.sum() >= 1
    assert (near < 0.5).sum() < (high < 0.5).sum()  # the shadow grows with height
    assert high[row, -60] < 0.95 < near[row, -60]  # the wire
    live = picture.values.copy()
    for rows, cols, seen in room.easel.shaded(pose):
        live[rows, cols] = seen
    assert live[row, col] == 0
    assert np.array_equal(live[:100], picture.values[:100])


@pytest.mark.parametrize("tilt_deg", [0.0, 4.0])
def test_the_quick_projection_is_the_light_of_every_print(room: Darkroom, tilt_deg: float) -> None:
    room.desk.set("f_number", 5.6)
    room.desk.set("easel_tilt_deg", tilt_deg)
    room.desk.set("focus_offset_mm", 1.5)
    grid, _ = room.easel.view_grid((203, 254), (0.0, 0.0, 203.0, 254.0))
    now, bench, negative = room.desk.now, room.desk.bench, room.desk.negative
    view = Projector().projected(negative, bench, grid, now.f_number, now.time_s)
    light = project(negative, bench, grid, now.f_number, now.time_s)
    exact = 10.0 ** -np.append(light.neutral_light.levels, 99.0)[light.neutral_light.codes]
    inside = exact > 0.01
    assert np.abs(view.relative[inside] / exact[inside] - 1.0).max() < 0.03
