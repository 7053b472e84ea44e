"""A place is a thing in the picture: where film lies turned over, or easel or negative are tilted, its reading goes along."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.easel import film_coordinates, on_film_mm, on_paper_mm
from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.negative.negative import Place
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache, laid_out
from sim.printing.make_print import make_print, place_on_sheet
from sim.printing.place_print import PlacePrint
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strips import lay_strip, stop_times_s
from sim.viewing.densitometer import read_place
from sim.viewing.strip_tones import read_tone, steps_that_show

STOCK = find_stock("glossy-rc-vc")
NEGATIVE = find_negative("tone-patches")
PATCH = Place("one-patch", 0.3, 0.5 / 7, 4.0)  # the middle of a patch of 0.55; its mirror image lies on one of 1.65
WAYS = {
    "turned over": {"flipped": True}, "easel tilted": {"easel_tilt_deg": 6.0}, "negative tilted": {"negative_tilt_deg": 2.0},
    "all": {"flipped": True, "easel_tilt_deg": -5.0, "negative_tilt_deg": 1.5},
}  # fmt: skip


def record_of(**settings: object):
    record = usual_setup(NEGATIVE, STOCK, time_s=32.0, f_number=22.0)
    return replace(record, enlarger=replace(record.enlarger, **settings))


@pytest.mark.parametrize("way", WAYS)
def test_where_a_point_falls_is_where_the_sheet_looks_at_it(way: str) -> None:
    record = record_of(**WAYS[way])
    bench, grid = laid_out(NEGATIVE, record, 4.0)
    at = film_coordinates(grid, bench)
    film_x, film_y = np.broadcast_arrays(at.x, at.y)
    for row, col in ((100, 150), (700, 600), (900, 80)):
        seen_x = -film_x[row, col] if bench.settings.flipped else film_x[row, col]
        x, y = on_paper_mm(float(seen_x), float(film_y[row, col]), set_up(record.enlarger, NEGATIVE))
        centre_x, centre_y = grid.image_centre_mm
        assert (x, y) == pytest.approx((grid.x_mm[col] - centre_x, grid.y_mm[row] - centre_y), abs=1e-6)


@pytest.mark.parametrize("way", WAYS)
def test_a_place_reads_the_same_thing_wherever_it_falls(way: str) -> None:
    straight, moved = record_of(), record_of(**WAYS[way])
    wanted = read_place(make_print(NEGATIVE, straight, STOCK), PATCH)
    sheet = make_print(NEGATIVE, moved, STOCK)
    assert read_place(sheet, PATCH) == pytest.approx(wanted, abs=0.08)  # a tilt changes the light a little
    assert sheet.place_mm(PATCH) == pytest.approx(place_on_sheet(NEGATIVE, moved, PATCH))
    finely = PlacePrint(NEGATIVE, moved, STOCK, LightCache()).readings(PATCH)[0]
    assert float(finely) == pytest.approx(read_place(sheet, PATCH), abs=0.002)


def test_of_film_turned_over_the_frames_own_spot_shows_something_else() -> None:
    straight, turned = (make_print(NEGATIVE, record_of(flipped=f), STOCK) for f in (False, True))
    seen = straight.spot(*straight.place_mm(PATCH), 4.0).density(turned.density)
    assert abs(seen - read_place(straight, PATCH)) > 0.2


@pytest.mark.parametrize("way", WAYS)
def test_what_falls_on_the_easel_is_found_on_the_film_again(way: str) -> None:
    bench = set_up(record_of(**WAYS[way]).enlarger, NEGATIVE)
    for film in ((3.0, -7.0), (-11.0, 4.0)):
        there = on_film_mm(*(np.array([mm]) for mm in on_paper_mm(*film, bench)), bench)
        assert [float(mm[0]) for mm in there] == pytest.approx(film, abs=1e-9)


@pytest.mark.parametrize("way", WAYS)
def test_a_strip_is_laid_where_the_place_falls_and_its_steps_show_that_tone(way: str) -> None:
    """Of film turned over the place lies on the other side: a strip laid by fractions of the frame would miss it."""
    record = record_of(**WAYS[way])
    piece = strip_on(NEGATIVE, record, PATCH.x, PATCH.y)
    sheet, (x, y) = piece.record.sheet, piece.at_mm
    assert 0.0 < x < sheet.width_mm
    assert 0.0 < y < sheet.height_mm
    assert place_on_sheet(NEGATIVE, piece.record, PATCH) == pytest.approx((x, y), abs=1e-6)
    named = replace(NEGATIVE, places=(PATCH,))
    strip = lay_strip(piece.record, stop_times_s(16.0, 0.4, 5), 22.0, record.exposures[0].filter, "covered").record
    shown = [one for one in steps_that_show(named, strip, PATCH.name) if one]
    assert shown
    even = replace(NEGATIVE, silver_density=np.full_like(NEGATIVE.silver_density, 0.55))
    made, alike = (make_print(film, strip, STOCK) for film in (named, even))
    for one in shown:  # what is called as dense as the place prints like film that has the place's density all over
        assert read_tone(made, one) == pytest.approx(read_tone(alike, one), abs=0.05)
