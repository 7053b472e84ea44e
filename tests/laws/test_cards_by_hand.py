"""Cards in the light: shadow size, soft edge and how it hardens, by formula and on prints."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from published.checks import between
from published.sheets import Way, patches, printed_curve

from laws.worked import PRACTICE, Worked, as_parameters
from sim.printing.cards import CardOptics, edge_profile
from sim.printing.record import Card, Circling, Still

TRIANGLES = "similar triangles, textbook geometry"
PUPIL = "round lens opening seen past an edge, textbook geometry"
HALFWAY = "'hold it about halfway': printers' advice; similar triangles"
LENS_50 = 473.3  # lens to paper, mm: 50 mm lens, 35 mm film on 8x10 in
WAY = Way(magnification=8.4667, f_number=2.8, paper_mm=(140.0, 100.0))


def edge_mm(height_mm: float, f_number: float, focal_mm: float = 50.0, lens_to_paper_mm: float = LENS_50) -> float:
    """Return the width of a card's soft edge."""
    return CardOptics(lens_to_paper_mm, focal_mm / f_number).penumbra_mm(height_mm)


def scale(height_mm: float) -> float:
    """Return shadow size over card size."""
    return CardOptics(LENS_50, 6.25).shadow_scale(height_mm)


def ten_to_ninety() -> float:
    """Return the width over which an edge goes from 10 to 90 per cent, as a share of the full soft edge."""
    across = np.linspace(-0.5, 0.5, 4001)
    share = edge_profile(across, 1.0)
    return float(np.interp(0.9, share, across) - np.interp(0.1, share, across))


def lit_across(card: Card, f_number: float = 2.8) -> tuple[np.ndarray, np.ndarray]:
    """Print an even negative under a card and return mm across the middle of the sheet and the share of light there."""
    way = replace(WAY, f_number=f_number)
    film = patches(1.0)
    light_s = 6.0 * (f_number / 2.8) ** 2
    covered = way.sheet(film, way.exposure(light_s, card), px_per_mm=4.0)
    bare = way.sheet(film, way.exposure(light_s), px_per_mm=4.0)
    curve = printed_curve(Way())
    row = covered.density.shape[0] // 2
    keep = slice(40, -40)
    tones = [sheet.density[row, keep].astype(float) - sheet.density[0, 0] for sheet in (covered, bare)]
    rising = np.concatenate([[True], np.diff(curve.net_density) > 1e-6])
    logs = [np.interp(t, curve.net_density[rising], curve.log_light[rising]) for t in tones]
    return covered.grid.x_mm[keep], 10.0 ** (logs[0] - logs[1])


def printed_edge_mm(height_mm: float, f_number: float) -> float:
    """Return the 10 to 90 per cent width of a still card's edge, read from a print."""
    x, lit = lit_across(Card("edge", Still(70.0, 50.0), height_mm, angle_deg=0.0), f_number)
    lit = lit if lit[0] < lit[-1] else lit[::-1]
    share = np.maximum.accumulate(np.clip(lit, 0.0, 1.0)) + np.arange(len(lit)) * 1e-9
    return float(np.interp(0.9, share, x) - np.interp(0.25, share, x))


def printed_shadow_mm(height_mm: float, width_mm: float, amplitude_mm: float = 0.0) -> float:
    """Return the width of a disc's shadow at half light, read from a print."""
    motion = Circling(70.0, 50.0, amplitude_mm, 1.0) if amplitude_mm else Still(70.0, 50.0)
    x, lit = lit_across(Card("disc", motion, height_mm, width_mm))
    inside = x[lit < 0.5]
    return float(inside[-1] - inside[0])


def printed_softness_mm(amplitude_mm: float) -> float:
    """Return the width over which a disc's edge rises from half to nine tenths of the light."""
    motion = Circling(70.0, 50.0, amplitude_mm, 1.0) if amplitude_mm else Still(70.0, 50.0)
    x, lit = lit_across(Card("disc", motion, 60.0, 30.0), 8.0)
    right = x > 70.0
    share = np.maximum.accumulate(lit[right]) + np.arange(int(right.sum())) * 1e-9
    return float(np.interp(0.9, share, x[right]) - np.interp(0.5, share, x[right]))


def _profile_width(low: float, high: float) -> float:
    """Return what share of a soft edge lies between two shares of light, by the published profile."""
    t = np.linspace(-1.0, 1.0, 20001)
    share = 0.5 + (t * np.sqrt(1.0 - t * t) + np.arcsin(t)) / np.pi
    return float(np.interp(high, share, t) - np.interp(low, share, t)) / 2.0


def _edge_checks() -> list[Worked]:
    published = {
        (20, 2.8): 0.788,
        (100, 2.8): 4.783,
        (200, 2.8): 13.07,
        (50, 5.6): 1.055,
        (100, 8): 1.674,
        (200, 8): 4.573,
    }
    return [
        Worked(f"soft edge {h} mm up at f/{n}", b, 0.003 * b, TRIANGLES, lambda h=h, n=n: edge_mm(h, n), "formula")
        for (h, n), b in published.items()
    ]


TABLE = (
    *_edge_checks(),
    Worked("soft edge 100 mm up, 150 mm lens at f/8", 5.06, 0.01, TRIANGLES,
          lambda: edge_mm(100.0, 8.0, 150.0, 470.8), "formula"),
    Worked("shadow of a card halfway up", 2.0, 1e-9, HALFWAY, lambda: scale(LENS_50 / 2), "formula"),
    Worked("soft edge of a card halfway up over the opening", 1.0, 1e-9, HALFWAY,
          lambda: edge_mm(LENS_50 / 2, 8.0) / 6.25, "formula"),
    Worked("shadow scale 100 mm up", 1.2679, 1e-3, TRIANGLES, lambda: scale(100.0), "formula"),
    Worked("shadow scale 200 mm up", 1.7317, 1e-3, TRIANGLES, lambda: scale(200.0), "formula"),
    Worked("edge profile a quarter in", 0.8045, 1e-3, PUPIL,
          lambda: float(edge_profile(np.array([0.25]), 1.0)[0]), "formula"),
    Worked("edge profile a quarter out", 0.1955, 1e-3, PUPIL,
          lambda: float(edge_profile(np.array([-0.25]), 1.0)[0]), "formula"),
    Worked("10 to 90 per cent of the edge", 0.687, 1e-3, PUPIL, ten_to_ninety, "formula"),
    Worked("printed edge 200 mm up at f/2.8, 25 to 90 per cent, mm", 13.07 * _profile_width(0.25, 0.9), 0.5,
          TRIANGLES + "; " + PUPIL,
          lambda: printed_edge_mm(200.0, 2.8)),
    Worked("printed edge 200 mm up at f/8, 25 to 90 per cent, mm", 4.573 * _profile_width(0.25, 0.9), 0.3,
          TRIANGLES + "; " + PUPIL,
          lambda: printed_edge_mm(200.0, 8.0)),
    Worked("printed shadow of a 30 mm disc 100 mm up, mm", 30 * 1.2679, 0.8, TRIANGLES,
          lambda: printed_shadow_mm(100.0, 30.0)),
    Worked("printed shadow of a 30 mm disc 200 mm up, mm", 30 * 1.7317, 2.0, TRIANGLES,
          lambda: printed_shadow_mm(200.0, 30.0)),
    Worked("a moved tool leaves a softer edge, mm more", *between(1.0, 12.0),
          "keep the tool moving: US Army SS0509, p. 67; " + PRACTICE,
          lambda: printed_softness_mm(6.0) - printed_softness_mm(0.0)),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_cards_throw_shadows_as_published(check: Worked) -> None:
    check.run()
