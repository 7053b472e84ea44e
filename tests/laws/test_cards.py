"""Cards: light is conserved, motion feathers, shadow and penumbra follow similar triangles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.enlarger.easel import SheetGrid
from sim.printing.cards import CardOptics, covered_share, edge_profile, lit_share
from sim.printing.record import Card, Circling, Path, Still, Sweeping

from .small import LAW

GRID = SheetGrid(260.0, 240.0, 0.0, 1.0, 240, 260)
MIDDLE = (130.0, 120.0)
V_MM, PUPIL_MM = 600.0, 12.0
OPTICS = CardOptics(V_MM, PUPIL_MM)

heights_mm = st.floats(0.0, 250.0)
sizes_mm = st.floats(15.0, 45.0)
motions = st.one_of(
    st.just(Still(*MIDDLE)),
    st.builds(Circling, st.just(130.0), st.just(120.0), st.floats(1.0, 25.0), st.floats(0.5, 4.0)),
    st.builds(Sweeping, st.just(130.0), st.just(120.0), st.floats(1.0, 25.0), st.floats(0.5, 4.0), st.floats(0.0, 180.0)),
    st.builds(lambda x, y: Path(((0.0, 130.0, 120.0), (3.0, x, y), (9.0, 130.0, y))), st.floats(110.0, 150.0),
              st.floats(105.0, 135.0)),
)  # fmt: skip


def area_mm2(card: Card) -> float:
    """Return the tool's own area."""
    if card.shape == "bar":
        return card.width_mm * card.length_mm
    if card.shape == "outline":
        x, y = np.transpose(card.outline)
        return float(0.5 * abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))))
    across = card.width_mm if card.shape == "disc" else card.length_mm
    return np.pi / 4.0 * card.width_mm * across


def tool(shape: str, motion, height_mm: float, width_mm: float, length_mm: float, angle_deg: float = 0.0) -> Card:
    """Return a tool; an outline is a notched kite."""
    w, h = width_mm / 2, length_mm / 2
    outline = ((-w, 0.0), (0.0, -h), (w, 0.0), (0.3 * w, 0.2 * h), (0.0, h)) if shape == "outline" else ()
    return Card(shape, motion, height_mm, width_mm, length_mm, angle_deg, outline)


def width_of(profile: np.ndarray, low: float, high: float, pitch_mm: float = 1.0) -> float:
    """Return the distance over which a falling or rising profile goes from ``low`` to ``high``."""
    rising = profile if profile[-1] > profile[0] else profile[::-1]
    at = np.interp([low, high], rising, np.arange(len(rising)) * pitch_mm)
    return float(at[1] - at[0])


@LAW
@given(st.sampled_from(("disc", "oval", "bar", "outline")), motions, heights_mm, sizes_mm, sizes_mm, st.floats(0, 180))
def test_a_tool_takes_away_its_shadows_area_whatever_its_edge_and_motion(shape, motion, height, width, length, angle):
    """Sheet large against the tool: the light withheld is area x (v/(v-h))**2 x time."""
    card = tool(shape, motion, height, width, length, angle)
    withheld = float(covered_share(card, GRID, OPTICS, 0.0, 9.0).sum())
    assert withheld == pytest.approx(area_mm2(card) * (V_MM / (V_MM - height)) ** 2, rel=0.015, abs=4.0)


@LAW
@given(motions, heights_mm, sizes_mm)
def test_a_hole_and_a_tool_of_one_shape_share_the_light_between_them(motion, height, size) -> None:
    dodger = tool("oval", motion, height, size, 0.7 * size)
    burner = replace(dodger, lets_through="inside")
    both = covered_share(dodger, GRID, OPTICS, 0.0, 9.0) + covered_share(burner, GRID, OPTICS, 0.0, 9.0)
    assert both == pytest.approx(1.0, abs=1e-5)


@LAW
@given(st.floats(10.0, 300.0))
def test_the_shadow_of_an_edge_is_as_soft_as_similar_triangles_say(height_mm) -> None:
    fine = SheetGrid(60.0, 10.0, 0.0, 20.0, 200, 1200)
    card = Card("edge", Still(30.0, 5.0), height_mm)
    profile = covered_share(card, fine, OPTICS, 0.0, 1.0)[100]
    partly = fine.x_mm[(profile > 1e-4) & (profile < 1 - 1e-4)]
    expected = PUPIL_MM * height_mm / (V_MM - height_mm)
    assert OPTICS.penumbra_mm(height_mm) == pytest.approx(expected)
    assert partly[-1] - partly[0] == pytest.approx(expected, rel=0.05, abs=0.1)
    assert np.interp(30.0, fine.x_mm, profile) == pytest.approx(0.5, abs=0.01)


@LAW
@given(st.floats(0.0, 400.0), st.floats(20.0, 50.0))
def test_a_shadow_is_larger_than_its_tool_by_v_over_v_minus_h(height_mm, size_mm) -> None:
    card = tool("disc", Still(*MIDDLE), height_mm, size_mm, size_mm)
    scale = V_MM / (V_MM - height_mm)
    assert OPTICS.shadow_scale(height_mm) == pytest.approx(scale)
    if size_mm * scale > 5.0 * OPTICS.penumbra_mm(height_mm):  # a soft edge this narrow is as good as straight
        across = covered_share(card, GRID, OPTICS, 0.0, 1.0)[119:121].mean(axis=0)
        left, right = np.interp(0.5, across[:130], GRID.x_mm[:130]), np.interp(0.5, across[:129:-1], GRID.x_mm[:129:-1])
        assert right - left == pytest.approx(size_mm * scale, abs=1.2)


@LAW
@given(st.floats(0.0, 150.0), st.floats(3.0, 25.0))
def test_a_moving_card_feathers_more_than_a_still_one(height_mm, amplitude_mm) -> None:
    still = Card("edge", Still(*MIDDLE), height_mm)
    swept = replace(still, motion=Sweeping(*MIDDLE, amplitude_mm, 2.0))
    turned = replace(still, motion=Circling(*MIDDLE, amplitude_mm, 2.0))
    row = 120
    hard, soft, softer = (
        width_of(covered_share(c, GRID, OPTICS, 0.0, 12.0)[row], 0.1, 0.9) for c in (still, swept, turned)
    )
    assert soft > hard
    assert softer > hard
    if OPTICS.penumbra_mm(height_mm) < 0.2 * amplitude_mm:
        assert soft == pytest.approx(1.6 * amplitude_mm, rel=0.12, abs=1.0)  # even speed: 80 % of the travel of 2 a


@LAW
@given(st.floats(1.0, 40.0), st.floats(0.5, 30.0))
def test_half_of_an_edges_shade_lies_on_either_side_of_its_line(penumbra_mm, across_mm) -> None:
    there, here = edge_profile(np.array([across_mm, -across_mm]), penumbra_mm)
    assert there + here == pytest.approx(1.0)
    assert edge_profile(np.array([penumbra_mm / 2 + 0.01]), penumbra_mm)[0] == pytest.approx(1.0)


@LAW
@given(st.floats(0.1, 0.9), st.floats(0.05, 0.9), heights_mm, sizes_mm)
def test_time_in_the_light_is_what_a_card_withholds(first, share, height_mm, size_mm) -> None:
    """Twenty seconds; the card comes in late and goes out early."""
    start_s = 20.0 * first * (1 - share)
    card = replace(tool("disc", Still(*MIDDLE), height_mm, size_mm, size_mm), start_s=start_s, stop_s=start_s + 20 * share)
    lit = lit_share((card,), GRID, OPTICS, 20.0)
    assert lit is not None
    always = covered_share(card, GRID, OPTICS, 0.0, 20.0)
    assert lit.whole == pytest.approx(1.0 - share * always, abs=1e-5)


@LAW
@given(motions, heights_mm, sizes_mm, st.floats(0.2, 0.8))
def test_a_motion_cut_in_two_pieces_of_time_is_the_same_motion(motion, height_mm, size_mm, share) -> None:
    card = tool("bar", motion, height_mm, size_mm, 1.3 * size_mm)
    whole = covered_share(card, GRID, OPTICS, 0.0, 9.0)
    first, last = covered_share(card, GRID, OPTICS, 0.0, 9.0 * share), covered_share(card, GRID, OPTICS, 9.0 * share, 9.0)
    difference = np.abs(share * first + (1 - share) * last - whole)
    assert difference.max() < 0.08  # at a hard edge the two rasters fall differently on the sheet's points
    assert difference.sum() < 0.03 * whole.sum()


@LAW
@given(st.lists(st.builds(tool, st.sampled_from(("disc", "bar")), motions, heights_mm, sizes_mm, sizes_mm), max_size=3))
def test_shares_of_light_lie_between_none_and_all(cards) -> None:
    lit = lit_share(tuple(cards), GRID, OPTICS, 9.0)
    assert (lit is None) == (not cards)
    if lit is not None:
        assert lit.whole.min() >= 0.0
        assert lit.whole.max() <= 1.0


@LAW
@given(st.lists(st.floats(0.3, 20.0), min_size=2, max_size=6))
def test_a_jumping_card_stands_at_every_place_for_exactly_its_time(pieces_s) -> None:
    """A cover card over steps 30 mm wide: each step is lit until the card has jumped past it."""
    ends_s, total_s = np.cumsum(pieces_s), float(np.sum(pieces_s))
    jumps: list[tuple[float, float, float]] = [(0.0, 30.0, 0.0)]
    for k, end_s in enumerate(ends_s[:-1], start=1):
        jumps += [(float(end_s), 30.0 * k, 0.0), (float(end_s), 30.0 * (k + 1), 0.0)]
    cover = Card("edge", Path(tuple(jumps)), 2.0)
    covered = covered_share(cover, GRID, OPTICS, 0.0, total_s)[120]
    for k, end_s in enumerate(ends_s):
        assert covered[15 + 30 * k] == pytest.approx((end_s - pieces_s[k]) / total_s, abs=1e-5)
