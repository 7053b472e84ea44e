"""A strip prints and reads what it shows: one place on every step, both lights in it, inside the picture."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from sim.enlarger.filters import FilterSetting
from sim.marking.print_pictures import jpeg_of
from sim.negative.develop import find_negative
from sim.notebook.record_words import shown_words
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.record import Card, Exposure, PrintingRecord, Still
from sim.printing.setup import picture_on_sheet, strip_on, usual_setup
from sim.printing.strip_agreement import disagreement
from sim.printing.strips import COVER_HEIGHT_MM, Strip, lay_strip, stop_times_s, strip_in
from sim.refusals import Refused
from sim.viewing.densitometer import read_place, spot_density
from sim.viewing.strip_numbers import numbered
from sim.viewing.strip_reading import places_shown, read_strip, read_strip_at, shown_in_every_step, steps_read

PX_PER_MM = 2.0
NEGATIVE, STOCK = find_negative("morning-shelf"), find_stock("glossy-rc-vc")
BASE = usual_setup(NEGATIVE, STOCK)
LIGHTS = LightCache(8)
CUP = NEGATIVE.place("white-cup")


def print_of(record: PrintingRecord):
    return make_print(NEGATIVE, record, STOCK, PX_PER_MM, lights=LIGHTS)


def same_place(count: int, each: tuple[Exposure, ...] = (), filtration: str = "2") -> Strip:
    """Return a strip of so many steps through the white cup, one of which has 8 s."""
    piece = strip_on(NEGATIVE, BASE, CUP.x, CUP.y)
    times = tuple(8.0 * 2.0 ** (0.25 * (k - count // 2)) for k in range(count))
    return lay_strip(
        piece.record, times, 8.0, FilterSetting(filtration), "same-place", each=each, home_mm=piece.at_mm
    )  # fmt: skip


@pytest.mark.parametrize("count", range(3, 13))
def test_the_white_cup_reads_alike_at_eight_seconds_however_many_steps_there_are(count: int) -> None:
    strip = same_place(count)
    reading = read_strip_at("white-cup", NEGATIVE, strip.record, print_of(strip.record))
    straight = print_of(BASE.with_exposures(Exposure(8.0, 8.0, FilterSetting("2"))))
    assert reading.times_s[count // 2] == pytest.approx(8.0)
    assert reading.densities[count // 2] == pytest.approx(read_place(straight, CUP), abs=0.02)
    assert all(later > earlier for earlier, later in zip(reading.densities, reading.densities[1:]))


@pytest.mark.parametrize("count", [3, 6])
@pytest.mark.parametrize("angle_deg", [0.0, 90.0])
def test_every_place_reads_on_its_step_as_on_the_whole_sheet_however_tone_slopes_there(count: int, angle_deg: float) -> None:
    straight = print_of(BASE.with_exposures(Exposure(8.0, 8.0, FilterSetting("2"))))
    read = 0
    for place in NEGATIVE.places:
        piece = strip_on(NEGATIVE, BASE, place.x, place.y)
        times = tuple(8.0 * 2.0 ** (0.25 * (k - count // 2)) for k in range(count))
        strip = lay_strip(piece.record, times, 8.0, FilterSetting("2"), "same-place", angle_deg, home_mm=piece.at_mm)
        if place.name not in shown_in_every_step(NEGATIVE, strip.record):
            continue
        reading = read_strip_at(place.name, NEGATIVE, strip.record, print_of(strip.record))
        assert reading.densities[count // 2] == pytest.approx(read_place(straight, place), abs=0.01), place.name
        read += 1
    assert read >= 5


def test_a_place_that_a_second_card_on_the_paper_shades_is_shown_by_no_step() -> None:
    piece = strip_on(NEGATIVE, BASE, CUP.x, CUP.y)
    bursts = lay_strip(piece.record, (4.0, 8.0, 16.0), 8.0, FilterSetting("2")).record
    (step,) = (k for k, shown in enumerate(places_shown(NEGATIVE, bursts)) if CUP in [one.place for one in shown])
    last = bursts.exposures[step]
    coin = Card("disc", Still(*piece.at_mm), COVER_HEIGHT_MM, width_mm=8.0, length_mm=8.0)
    shaded = replace(
        bursts, exposures=(*bursts.exposures[:step], replace(last, cards=(*last.cards, coin)), *bursts.exposures[step + 1 :])
    )
    assert CUP not in [one.place for shown in places_shown(NEGATIVE, shaded) for one in shown]


@pytest.mark.parametrize("count", [4, 7])
def test_over_a_soft_exposure_every_step_gets_both_lights_in_its_place(count: int) -> None:
    soft = Exposure(4.0, 8.0, FilterSetting("00"))
    strip = same_place(count, (soft,), "5")
    reading = read_strip_at("white-cup", NEGATIVE, strip.record, print_of(strip.record))
    for time_s, density in zip(reading.times_s, reading.densities, strict=True):
        both = print_of(BASE.with_exposures(soft, Exposure(time_s, 8.0, FilterSetting("5"))))
        assert density == pytest.approx(read_place(both, CUP), abs=0.02)


def test_a_burn_strip_starts_with_the_finished_base_and_adds_to_it() -> None:
    base = Exposure(6.0, 8.0, FilterSetting("2"))
    piece = strip_on(NEGATIVE, BASE, CUP.x, CUP.y)
    burns = (0.0, 2.0, 4.0, 8.0)
    strip = lay_strip(piece.record, burns, 8.0, FilterSetting("2"), "burn", each=(base,), home_mm=piece.at_mm)
    reading = read_strip_at("white-cup", NEGATIVE, strip.record, print_of(strip.record))
    for burn_s, density in zip(burns, reading.densities, strict=True):
        more = (Exposure(burn_s, 8.0, FilterSetting("2")),) if burn_s else ()
        assert density == pytest.approx(read_place(print_of(BASE.with_exposures(base, *more)), CUP), abs=0.02)


def test_a_flash_strip_shows_the_threshold_on_bare_paper() -> None:
    piece = strip_on(NEGATIVE, BASE)
    times = (0.0, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0)
    strip = lay_strip(piece.record, times, 8.0, FilterSetting("2"), "flash", dimmed_stops=5.0)
    densities = read_strip(strip, print_of(strip.record)).densities
    assert densities[0] == pytest.approx(print_of(strip.record).base_plus_fog, abs=0.002)
    assert densities[1] < densities[0] + 0.02  # under the threshold nothing is seen
    assert densities[-1] > densities[0] + 0.1


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("place", [p.name for p in NEGATIVE.places])
def test_a_strip_lies_inside_the_picture_wherever_it_is_asked_for(place: str, upright: bool) -> None:
    spot = NEGATIVE.place(place)
    piece = strip_on(NEGATIVE, BASE, spot.x, spot.y, upright)
    sheet, (left, top, width, height) = piece.record.sheet, picture_on_sheet(NEGATIVE, BASE)
    shift = [a - b for a, b in zip(BASE.sheet.image_shift_mm, sheet.image_shift_mm)]
    x = BASE.sheet.width_mm / 2 + shift[0] - sheet.width_mm / 2
    y = BASE.sheet.height_mm / 2 + shift[1] - sheet.height_mm / 2
    assert left - 0.01 <= x
    assert x + sheet.width_mm <= left + width + 0.01
    assert top - 0.01 <= y
    assert y + sheet.height_mm <= top + height + 0.01
    assert 0.0 < piece.at_mm[0] < sheet.width_mm
    assert 0.0 < piece.at_mm[1] < sheet.height_mm


@pytest.mark.parametrize("way", ["covered", "bursts"])
def test_a_covered_strip_says_which_places_each_step_shows_and_refuses_the_others(way) -> None:
    piece = strip_on(NEGATIVE, BASE, CUP.x, CUP.y)
    strip = lay_strip(piece.record, stop_times_s(2.0, 0.5, 7), 8.0, FilterSetting("2"), way)
    shown = places_shown(NEGATIVE, strip.record)
    with_cup = [k for k, step in enumerate(shown) if any(one.place.name == "white-cup" for one in step)]
    assert len(with_cup) <= 1
    assert shown_in_every_step(NEGATIVE, strip.record) == ()
    sheet = print_of(strip.record)
    with pytest.raises(Refused, match="every step must show 'white-cup'"):
        read_strip_at("white-cup", NEGATIVE, strip.record, sheet)
    times_s = strip.record.strip.times_s  # type: ignore[union-attr]
    for k, step in enumerate(shown):
        switched_s = np.diff((0.0, *times_s[: k + 1])) if way == "bursts" else times_s[k : k + 1]  # every burst loses light
        for one in step:
            plain = print_of(BASE.with_exposures(*(Exposure(float(t), 8.0, FilterSetting("2")) for t in switched_s)))
            there = read_place(plain, one.place)
            assert spot_density(sheet, one.x_mm, one.y_mm, one.place.spot_mm) == pytest.approx(there, abs=0.02), one.place.name


def test_step_numbers_stand_at_the_edge_and_change_nothing_that_is_read() -> None:
    strip = same_place(5)
    sheet = print_of(strip.record)
    plain = np.full(sheet.density.shape, 128, dtype=np.uint8)
    picture = numbered(plain, sheet, strip.steps)
    assert (plain == 128).all()
    changed = np.argwhere(picture != 128)
    assert changed[:, 0].max() < 0.2 * picture.shape[0]
    columns = {round(col / (picture.shape[1] / 5) - 0.5) for col in changed[:, 1]}
    assert columns == {0, 1, 2, 3, 4}
    assert numbered(plain, sheet, ()) is plain


def test_a_record_without_a_strip_shows_nothing_step_by_step() -> None:
    assert strip_in(BASE) is None
    assert places_shown(NEGATIVE, BASE) == ()
    assert shown_in_every_step(NEGATIVE, replace(BASE, note="plain")) == ()


@pytest.mark.parametrize("angle_deg", [20.0, 30.0, 45.0, 60.0, 135.0, 225.0, -45.0])
@pytest.mark.parametrize("way", ["covered", "bursts", "same-place"])
def test_a_slanting_strip_has_every_step_on_the_paper_and_its_number_beside_it(angle_deg: float, way) -> None:
    piece = strip_on(NEGATIVE, BASE, CUP.x, CUP.y)
    times = stop_times_s(2.0, 0.5, 7)
    strip = lay_strip(
        piece.record, times, 8.0, FilterSetting("2"), way, angle_deg, home_mm=piece.at_mm
    )  # fmt: skip
    sheet = strip.record.sheet
    assert disagreement(strip.record) is None
    along = (np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg)))
    told = []
    for step in strip.steps:
        assert 0.0 < step.x_mm < sheet.width_mm
        assert 0.0 < step.y_mm < sheet.height_mm
        x, y = step.edge_mm
        assert min(x, y, sheet.width_mm - x, sheet.height_mm - y) == pytest.approx(0.0, abs=1e-6)
        here, edge = (px * along[0] + py * along[1] for px, py in ((step.x_mm, step.y_mm), step.edge_mm))
        assert here == pytest.approx(edge, abs=1e-6)  # the number stands on the step's own middle line
        told.append(here)
    assert told == sorted(told)
    reading = read_strip(strip, print_of(strip.record))
    assert len(reading.densities) == 7


def test_a_slot_moves_the_paper_along_the_strip_only_while_its_corners_allow() -> None:
    spot = NEGATIVE.place("white-cup")
    piece = strip_on(NEGATIVE, BASE, spot.x, spot.y, upright_strip=True)
    strip = lay_strip(
        piece.record, stop_times_s(2.0, 0.5, 6), 8.0, FilterSetting("2"), "same-place", 90.0, home_mm=piece.at_mm
    )  # fmt: skip
    assert {round(e.paper_shift_mm[0], 6) for e in strip.record.exposures} == {0.0}
    assert {round(step.x_mm, 6) for step in strip.steps} == {round(piece.at_mm[0], 6)}


def test_a_step_is_told_with_the_places_it_shows_and_what_they_read() -> None:
    strip = same_place(5)
    sheet = print_of(strip.record)
    told = steps_read(NEGATIVE, strip.record, sheet)
    at_the_cup = read_strip_at("white-cup", NEGATIVE, strip.record, sheet)
    assert tuple(dict(one.shows)["white-cup"] for one in told) == at_the_cup.densities
    assert [(one.number, one.time_s) for one in told] == [(step.number, step.time_s) for step in strip.steps]
    assert shown_words(NEGATIVE, strip.record).startswith("Every step shows the white cup")
    assert steps_read(NEGATIVE, BASE, print_of(BASE)) == ()
    assert shown_words(NEGATIVE, BASE) == ""


def test_the_small_picture_of_a_strip_on_a_page_has_its_numbers() -> None:
    strip = same_place(5)
    sheet = print_of(strip.record)
    plain, numbered_one = (np.asarray(Image.open(BytesIO(jpeg_of(sheet, 120, steps)))) for steps in ((), strip.steps))
    assert plain.shape == numbered_one.shape
    assert max(plain.shape) == 120
    changed = np.argwhere(np.abs(plain.astype(int) - numbered_one.astype(int)) > 60)
    assert {min(4, int(5 * col / plain.shape[1])) for _, col in changed} == {0, 1, 2, 3, 4}
