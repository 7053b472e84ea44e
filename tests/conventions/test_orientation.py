"""Orientation: each convention in one sentence, then the test that holds it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.stock import find_stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import Card, Circling, Exposure, Path, PrintingRecord, Sheet, Still, Sweeping
from sim.printing.strips import lay_strip
from sim.viewing.densitometer import read_place, spot_density

STOCK = find_stock("glossy-rc-vc")
WIDTH_MM, HEIGHT_MM = 150.0, 120.0
CENTRE = Place("centre", 0.5, 0.5)
SHOT = Exposure(8.0, 8.0, FilterSetting("2"), light_s=8.0)


def negative(silver: np.ndarray, *places: Place) -> Negative:
    """Return a negative of a 45 x 56 mm frame."""
    return Negative("which-way", silver.astype(np.float32), 0.25, (56.25, 45.0), places=places)


def even(density: float = 0.6) -> Negative:
    """Return an even negative."""
    return negative(np.full((45, 57), density))


def dense_at(rows: slice, cols: slice) -> Negative:
    """Return a thin negative with one dense part."""
    silver = np.full((45, 57), 0.3)
    silver[rows, cols] = 1.6
    return negative(silver)


def record(*exposures: Exposure, **enlarger: object) -> PrintingRecord:
    """Return a record on a sheet 150 mm wide and 120 mm high."""
    settings = EnlargerSettings("diffusion-small", "80-mm", 425.0, **enlarger)  # type: ignore[arg-type]
    sheet = Sheet(STOCK.name, WIDTH_MM, HEIGHT_MM)
    return PrintingRecord("which-way", sheet, settings, exposures or (SHOT,), Development(60.0))


def printed(film: Negative, decisions: PrintingRecord | None = None) -> Print:
    """Return a print at one pixel a millimetre."""
    return make_print(film, decisions or record(), STOCK, px_per_mm=1.0)


def quarters(sheet: Print) -> dict[str, float]:
    """Return densities half-way from the middle to the left, right, upper and lower edge."""
    x, y = WIDTH_MM / 2, HEIGHT_MM / 2
    spots = {"left": (x / 2, y), "right": (1.5 * x, y), "top": (x, y / 2), "bottom": (x, 1.5 * y)}
    return {side: spot_density(sheet, *at) for side, at in spots.items()}


def shaded(card: Card, **shot: object) -> np.ndarray:
    """Return by how much a card makes an even print lighter, [row, col] in densities."""
    bare, carded = (record(replace(SHOT, cards=cards, **shot)) for cards in ((), (card,)))  # type: ignore[arg-type]
    return printed(even(), bare).density - printed(even(), carded).density


def darkest(sheet: Print) -> str:
    """Return the side that prints darkest."""
    density = quarters(sheet)
    return max(density, key=lambda side: density[side])


def lightest(sheet: Print) -> str:
    """Return the side that prints lightest."""
    density = quarters(sheet)
    return min(density, key=lambda side: density[side])


# Arrays are [row, col]: a print of a sheet wider than high has more columns than rows.
def test_arrays_are_row_then_column() -> None:
    assert printed(even()).density.shape == (round(HEIGHT_MM), round(WIDTH_MM))
    assert printed(even()).density.dtype == np.float32


# Denser places of the negative print lighter.
def test_denser_negative_prints_lighter() -> None:
    assert printed(even(1.2)).density.mean() < printed(even(0.4)).density.mean()


# y points down: the last rows of the negative print at the bottom of the sheet, the last rows of the print.
def test_y_points_down() -> None:
    sheet = printed(dense_at(slice(30, 45), slice(0, 57)))
    assert lightest(sheet) == "bottom"
    assert sheet.density[-20].mean() < sheet.density[20].mean()


# x points right: the first columns of the negative print at the left.
def test_x_points_right() -> None:
    assert lightest(printed(dense_at(slice(0, 45), slice(0, 19)))) == "left"


# A flipped negative prints mirrored left for right, and not upside down.
@pytest.mark.parametrize("contact", [False, True])
def test_a_flipped_negative_prints_mirrored(contact: bool) -> None:
    film = dense_at(slice(0, 20), slice(0, 19))
    straight, flipped = (
        replace(record(), enlarger=EnlargerSettings("diffusion-small", "80-mm", 425.0, flipped=f, contact=contact))
        for f in (False, True)
    )
    right_way, wrong_way = (printed(film, r).density for r in (straight, flipped))
    assert wrong_way == pytest.approx(right_way[:, ::-1], abs=2e-3)
    assert np.abs(wrong_way - right_way).max() > 0.3


# Places are fractions of the frame, x to the right and y down, whatever part of the sheet the frame covers.
@pytest.mark.parametrize("shift_mm", [(0.0, 0.0), (12.0, -9.0)])
def test_places_are_fractions_of_the_frame(shift_mm: tuple[float, float]) -> None:
    silver = np.full((45, 57), 0.3)
    silver[27:36, 9:18] = 1.6
    film = negative(silver, Place("dense", 13.5 / 57, 31.5 / 45, 4.0), Place("thin", 43.5 / 57, 31.5 / 45, 4.0))
    shifted = replace(record(), sheet=Sheet(STOCK.name, WIDTH_MM, HEIGHT_MM, image_shift_mm=shift_mm))
    sheet = printed(film, shifted)
    assert read_place(sheet, film.place("dense")) < read_place(sheet, film.place("thin")) - 0.5


# The image shift moves the image to the right and down on the sheet when positive.
def test_image_shift_moves_the_image_right_and_down() -> None:
    silver = np.full((45, 57), 1.6)
    silver[18:27, 24:33] = 0.2
    shifted = replace(record(), sheet=Sheet(STOCK.name, WIDTH_MM, HEIGHT_MM, image_shift_mm=(20.0, 10.0)))
    before, after = (printed(negative(silver), r).density for r in (record(), shifted))
    centre = [np.array(np.nonzero(d > 0.5 * d.max())).mean(axis=1) for d in (before, after)]
    assert centre[1] - centre[0] == pytest.approx([10.0, 20.0], abs=0.6)  # row, column


# The paper shift moves the paper to the right and down when positive, so that the image moves left and up on it.
def test_paper_shift_moves_the_image_the_other_way() -> None:
    silver = np.full((45, 57), 1.6)
    silver[18:27, 24:33] = 0.2
    moved = record(replace(SHOT, paper_shift_mm=(20.0, 10.0)))
    before, after = (printed(negative(silver), r).density for r in (record(), moved))
    centre = [np.array(np.nonzero(d > 0.5 * d.max())).mean(axis=1) for d in (before, after)]
    assert centre[1] - centre[0] == pytest.approx([-10.0, -20.0], abs=0.6)


# Cards stay with the easel, not with the paper: under a moved sheet their shadow falls further left on it.
def test_cards_stay_with_the_easel_when_the_paper_is_moved() -> None:
    tool = Card("disc", Still(75.0, 60.0), 5.0, 30.0, 30.0)
    still, moved = (shaded(tool, paper_shift_mm=(dx, 0.0)) for dx in (0.0, 25.0))
    middles = [np.nonzero(shade > 0.3)[1].mean() for shade in (still, moved)]
    assert middles[1] - middles[0] == pytest.approx(-25.0, abs=0.6)


# A card at the left of the sheet keeps the left light, one below keeps the bottom light.
@pytest.mark.parametrize(("at", "side"), [((37.5, 60.0), "left"), ((112.5, 60.0), "right"), ((75.0, 30.0), "top"),
                                          ((75.0, 90.0), "bottom")])  # fmt: skip
def test_a_card_shades_the_place_it_is_over(at: tuple[float, float], side: str) -> None:
    tool = Card("disc", Still(*at), 10.0, 30.0, 30.0)
    assert lightest(printed(even(), record(replace(SHOT, cards=(tool,))))) == side


# A hole at the left burns in the left.
def test_a_hole_darkens_the_place_it_is_over() -> None:
    hole = Card("disc", Still(37.5, 60.0), 10.0, 30.0, 30.0, lets_through="inside")
    assert darkest(printed(even(), record(replace(SHOT, cards=(hole,))))) == "left"


# An edge covers the side its angle points to: 0 the right, 90 the bottom, 180 the left, 270 the top.
@pytest.mark.parametrize(("angle_deg", "side"), [(0.0, "right"), (90.0, "bottom"), (180.0, "left"), (270.0, "top")])
def test_an_edge_covers_the_side_its_angle_points_to(angle_deg: float, side: str) -> None:
    edge = Card("edge", Still(75.0, 60.0), 10.0, angle_deg=angle_deg)
    assert lightest(printed(even(), record(replace(SHOT, cards=(edge,))))) == side


# A sweep goes to the right and back at angle 0, down and back at angle 90.
@pytest.mark.parametrize(("angle_deg", "wide"), [(0.0, 1), (90.0, 0)])
def test_a_sweep_goes_along_its_angle(angle_deg: float, wide: int) -> None:
    tool = Card("disc", Sweeping(75.0, 60.0, 30.0, 2.0, angle_deg), 5.0, 20.0, 20.0)
    extent = np.ptp(np.nonzero(shaded(tool) > 0.05), axis=1)
    assert extent[wide] > extent[1 - wide] + 30


# A bar's width lies along its angle, its length across it: at angle 0 the width is horizontal.
@pytest.mark.parametrize(("angle_deg", "wide"), [(0.0, 1), (90.0, 0)])
def test_a_bars_width_lies_along_its_angle(angle_deg: float, wide: int) -> None:
    tool = Card("bar", Still(75.0, 60.0), 5.0, 60.0, 20.0, angle_deg)
    extent = np.ptp(np.nonzero(shaded(tool) > 0.3), axis=1)
    assert extent[wide] > extent[1 - wide] + 25


# A circling card turns from right to down: a quarter turn after it began it is below its middle.
def test_a_circling_card_turns_from_right_to_down() -> None:
    tool = Card("disc", Circling(75.0, 60.0, 35.0, 8.0), 5.0, 30.0, 30.0, stop_s=4.0)  # half a turn: the lower half
    density = quarters(printed(even(), record(replace(SHOT, cards=(tool,)))))
    assert density["bottom"] < density["top"] - 0.1


# A path's points are seconds, x and y: a card that spends the later half at the right shades the right only then.
def test_a_paths_points_are_seconds_x_and_y() -> None:
    path = Path(((0.0, 37.5, 60.0), (6.0, 37.5, 60.0), (6.0, 112.5, 60.0), (8.0, 112.5, 60.0)))
    tool = Card("disc", path, 5.0, 30.0, 30.0)
    density = quarters(printed(even(), record(replace(SHOT, cards=(tool,)))))
    assert density["left"] < density["right"] < density["top"]


# A wire runs from the tool outwards: 0 to the right, 90 downwards.
@pytest.mark.parametrize(("towards_deg", "side"), [(0.0, "right"), (90.0, "bottom"), (180.0, "left"), (270.0, "top")])
def test_a_wire_runs_towards_its_angle(towards_deg: float, side: str) -> None:
    tool = Card("disc", Still(75.0, 60.0), 5.0, 20.0, 20.0, wire_mm=6.0, wire_towards_deg=towards_deg)
    assert lightest(printed(even(), record(replace(SHOT, cards=(tool,))))) == side


# A strip's times grow to the right at angle 0, downwards at 90, to the left at 180.
@pytest.mark.parametrize("way", ["bursts", "covered", "same-place"])
@pytest.mark.parametrize(("angle_deg", "side"), [(0.0, "right"), (90.0, "bottom"), (180.0, "left")])
def test_a_strips_times_grow_along_its_angle(way, angle_deg: float, side: str) -> None:
    strip = lay_strip(record(), (2.0, 4.0, 8.0, 16.0, 32.0), 8.0, FilterSetting("2"), way, angle_deg)
    sheet = printed(even(), strip.record)
    density = [spot_density(sheet, step.x_mm, step.y_mm) for step in strip.steps]
    assert np.all(np.diff(density) > 0)
    assert darkest(sheet) == side
