"""Film, grain, step tablets and the Callier effect, measured on negatives as the enlarger sees them."""

from __future__ import annotations

from unittest.mock import patch

import numpy as np
import pytest
from laws.worked import MEMORY, Worked, as_parameters
from published.checks import between, kept
from published.sheets import Way, band, light_for_net, patches, printed_curve, with_filter

from sim.enlarger.easel import sheet_grid
from sim.enlarger.easel_light import project
from sim.enlarger.settings import set_up
from sim.negative.callier import Scattering
from sim.negative.camera import Camera
from sim.negative.develop import develop, find_negative
from sim.negative.film import find_film
from sim.negative.negative import Negative
from sim.negative.sleeve_contents import Sleeve
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print

ISO_6 = "ISO 6:1993, speed point 0.10 and 0.80 more at 1.30 log exposure"
NAVY = "US Navy, Photography (Basic), NAVEDTRA 14209, ch. 10: 21 steps of 0.15, 0.05 to 3.05"
SELWYN = "Selwyn's law: deviation times root of area is constant; Stroebel et al., Basic Photographic Materials"
FILM_NUMBERS = "RMS granularity: slow 7-8, medium 8-10, fast 14-18, " + MEMORY
STREIFFERT = "Streiffert, J. SMPE 49, 1947, redrawn by Trumpy and Gschwind, ACM JOCCH 8(2), 2015, Fig. 5"
CONDENSER = "1.05 diffuse fits what 0.80-0.85 fits in a condenser: 1.24 to 1.31, " + MEMORY
CLOSE_UP = "US Army SS0512; M. Langford, Advanced Photography: (1+m)^2"
MORRIS = "print granularity is film granularity times paper gradient: Morris and Wait, statement 2"
FILMS = ("slow", "medium", "fast", "old")
PIXEL_MM = 0.004  # far finer than the reading circle, so that its edge cuts few pixels
COARSE_PIXEL_MM = 0.02
SHOWN_PIXEL_MM = 0.12  # so coarse that paper's own spread leaves it as it is


def seen(negative: Negative, way: Way) -> np.ndarray:
    """Return the density map of a negative's middle row, as the light on the easel shows it."""
    bench = set_up(way.record(negative, way.exposure(1.0)).enlarger, negative)
    width, height = (side * bench.print_scale for side in negative.frame_mm)
    light = project(negative, bench, sheet_grid(negative, bench, width, height, 0.0, (0.0, 0.0)), way.f_number)
    return np.asarray(light.film.levels[light.film.codes[light.film.codes.shape[0] // 2]])


def seen_bands(negative: Negative, way: Way, count: int) -> np.ndarray:
    """Return the density in the middle of every band, as the light on the easel shows it."""
    row = seen(negative, way)
    return row[((np.arange(count) + 0.5) * len(row) / count).astype(int)]


def iso_density(film: str, from_log: float, to_log: float) -> float:
    """Return how much denser the film is between two log exposures from its speed point, in a diffuse enlarger."""
    stock = find_film(film)
    points = stock.log_speed_point + np.array([from_log, to_log])
    net = np.where(np.isfinite(points), stock.net_density(points), 0.0)
    low, high = seen_bands(patches(*net.tolist()), Way(magnification=8.0), 2)
    return float(high - low)


@kept
def grey_card(
    film: str, stops: float, magnification: float = 0.0, side: int = 900, pixel_mm: float = PIXEL_MM
) -> Negative:
    """Expose and develop an evenly lit card: 10 cd/m2, metered, with so many stops of error."""
    sleeve = Sleeve(
        "grey-card", "Grey card", "An even tone.", "grey-card",
        Camera(10.0, stops, forgotten_magnification=magnification, flare_share=0.0), film,
        (side * pixel_mm, side * pixel_mm),
    )  # fmt: skip
    codes = np.full((side, side), 32768, dtype=np.uint16)
    even = (codes, 0.0, 2.0)
    with patch("sim.negative.develop.read_scene_codes", return_value=even):
        return develop(sleeve)


@kept
def card_of_density(film: str, density: float, side: int = 900, pixel_mm: float = PIXEL_MM) -> Negative:
    """Return a grey card exposed so that it develops to a density above base and fog."""
    from scipy.optimize import brentq

    def miss(stops: float) -> float:
        return float(grey_card(film, round(stops, 5), 0.0, 64, COARSE_PIXEL_MM).silver_density.mean()) - density

    return grey_card(film, round(float(brentq(miss, -4.0, 6.0, xtol=1e-4)), 5), 0.0, side, pixel_mm)


def granularity(film: str, circle_um: float = 48.0, density: float = 1.0) -> float:
    """Return 1000 times the deviation of density read through a round aperture moved over an even negative."""
    from scipy.signal import fftconvolve

    silver = card_of_density(film, density).silver_density.astype(float)
    radius = circle_um / 2000.0 / PIXEL_MM
    reach = int(np.ceil(radius)) + 1
    fine = (np.arange(-reach * 8 - 4, reach * 8 + 4) + 0.5) / 8.0  # eighths of a pixel: a true circle's area
    disc = (np.hypot(fine[:, None], fine[None, :]) <= radius).reshape(2 * reach + 1, 8, 2 * reach + 1, 8).mean((1, 3))
    read = -np.log10(fftconvolve(10.0**-silver, disc / disc.sum(), mode="valid"))
    return 1000.0 * float(read[::3, ::3].std())


def density_exponent() -> float:
    """Return the power of density with which granularity grows at low densities."""
    return float(np.log2(granularity("medium", 48.0, 0.8) / granularity("medium", 48.0, 0.4)))


def bellows_factor(magnification: float) -> float:
    """Return the extra exposure that makes a close-up as dense as if its bellows factor had been set."""
    from scipy.optimize import brentq

    def density(stops: float, forgotten: float) -> float:
        return float(seen(grey_card("medium", stops, forgotten, 48, 0.1), Way(magnification=8.0)).mean())

    wanted = density(1.0, 0.0)
    return float(2.0 ** brentq(lambda s: density(1.0 + s, magnification) - wanted, 0.0, 3.0, xtol=1e-4))


def printed_grain(way: Way, tone: float) -> float:
    """Return the deviation of density over a print of an even negative at a tone, in units of the film's own."""
    film = card_of_density("medium", 1.0, 200, SHOWN_PIXEL_MM)
    light_s = light_for_net(way, patches(float(film.silver_density.mean()), base=film.base_density), tone)
    sheet = make_print(film, way.record(film, way.exposure(light_s)), find_stock(way.stock))
    left, top, width, height = sheet.frame_mm
    (r0, c0), (r1, c1) = sheet.at(left + 1.0, top + 1.0), sheet.at(left + width - 1.0, top + height - 1.0)
    return float(sheet.density[r0:r1, c0:c1].astype(float).std() / film.silver_density.astype(float).std())


def blurless(name: str) -> Way:
    """Return contact printing behind a filter, where no lens blurs the grain."""
    return with_filter(Way(contact=True, magnification=8.0, f_number=5.6), name)


def tablet(first: int, last: int) -> float:
    """Return the density between two steps of the step tablet in the carrier."""
    steps = seen_bands(find_negative("step-wedge"), Way(contact=True, magnification=8.0), 21)
    return float(steps[last - 1] - (steps[first - 1] if first else 0.0))


def worst_increment() -> float:
    """Return the largest departure of a step from 0.15."""
    steps = seen_bands(find_negative("step-wedge"), Way(contact=True, magnification=8.0), 21)
    return float(np.abs(np.diff(steps) - 0.15).max())


def quotient(density: float, scatter_share: float) -> float:
    """Return Callier's Q."""
    return float(Scattering(1.675, scatter_share).quotient(np.array([density]))[0])


def head_range(head: str, contact: bool = False) -> float:
    """Return the range that a diffuse range of 1.05 shows in a head, over 1.05."""
    low, high = seen_bands(patches(0.0, 1.05), Way(head=head, contact=contact, magnification=8.0), 2)
    return float(high - low) / 1.05


def tone_of(density: float, light_s: float) -> float:
    """Return the density an even negative prints to."""
    return band(Way().sheet(patches(density), Way().exposure(light_s)))


def _film_checks() -> list[Worked]:
    rows = [
        Worked(f"speed point of the {f} film", 0.10, 0.002, ISO_6, lambda f=f: iso_density(f, -np.inf, 0.0), "formula")
        for f in FILMS
    ]
    return rows + [
        Worked(
            f"1.30 log beyond the speed point, {f} film",
            0.80,
            0.004,
            ISO_6,
            lambda f=f: iso_density(f, 0.0, 1.3),
            "formula",
        )
        for f in FILMS
    ]


TABLE = (
    *_film_checks(),
    Worked("RMS granularity of the slow film", *between(6.5, 8.5), FILM_NUMBERS, lambda: granularity("slow"), "formula"),
    Worked("RMS granularity of the medium film", *between(8.0, 10.0), FILM_NUMBERS,
          lambda: granularity("medium"), "formula"),
    Worked("RMS granularity of the fast film", *between(14.0, 18.0), FILM_NUMBERS,
          lambda: granularity("fast"), "formula"),
    Worked("granularity at 24 um over 48 um", 2.0, 0.10, SELWYN,
          lambda: granularity("medium", 24.0) / granularity("medium"), "formula"),
    Worked("granularity at 96 um over 48 um", 0.5, 0.025, SELWYN,
          lambda: granularity("medium", 96.0) / granularity("medium"), "formula"),
    Worked("granularity at 72 um over 48 um", 2 / 3, 0.03, SELWYN,
          lambda: granularity("medium", 72.0) / granularity("medium"), "formula"),
    Worked("granularity grows with density to the power", *between(0.40, 0.50), "about D^0.4-0.5, " + MEMORY,
          density_exponent, "formula"),
    Worked("grain in a print over grain on film, filter 2", 1.0, 0.08, MORRIS,
          lambda: printed_grain(blurless("2"), 0.6) / printed_curve(with_filter(Way(), "2")).slope(0.6)),
    Worked("grain grows with grade, filter 4 over 1", 1.0, 0.12, MORRIS,
          lambda: printed_grain(blurless("4"), 0.6) / printed_grain(blurless("1"), 0.6)
          / (printed_curve(with_filter(Way(), "4")).slope(0.6) / printed_curve(with_filter(Way(), "1")).slope(0.6))),
    Worked("grain in a deep black over a middle tone", *between(0.0, 0.25), MORRIS + "; nil in white and black",
          lambda: printed_grain(blurless("2"), 2.05) / printed_grain(blurless("2"), 0.9)),
    Worked("grain near the black over a middle tone, over their gradients", 1.0, 0.08, MORRIS,
          lambda: printed_grain(blurless("2"), 1.97) / printed_grain(blurless("2"), 0.9)
          / (printed_curve(with_filter(Way(), "2")).slope(1.97, 0.02) / printed_curve(with_filter(Way(), "2")).slope(0.9))),
    Worked("bellows factor at half size", 2.25, 0.03, CLOSE_UP + ": 18/12 in", lambda: bellows_factor(0.5), "formula"),
    Worked("bellows factor at 8/12", 2.78, 0.04, CLOSE_UP, lambda: bellows_factor(8 / 12), "formula"),
    Worked("bellows factor at same size", 4.0, 0.06, CLOSE_UP + ": two stops", lambda: bellows_factor(1.0), "formula"),
    Worked("first step of the tablet", 0.05, 0.002, NAVY, lambda: tablet(0, 1), "formula"),
    Worked("eleventh step of the tablet", 1.55, 0.002, NAVY, lambda: tablet(0, 11), "formula"),
    Worked("last step of the tablet", 3.05, 0.002, NAVY, lambda: tablet(0, 21), "formula"),
    Worked("two steps are one stop", 0.30, 0.002, NAVY + "; 11-step tablets have 0.30", lambda: tablet(5, 7), "formula"),
    Worked("worst step of the tablet", 0.0, 0.002, NAVY, worst_increment, "formula"),
    Worked("Callier quotient at its peak", 1.557, 0.025, STREIFFERT, lambda: quotient(0.354, 0.147), "formula"),
    Worked("Callier quotient of a thin deposit", 1.08, 0.02, STREIFFERT, lambda: quotient(0.058, 0.147), "formula"),
    Worked("Callier quotient at no density", 1.0, 0.01, "tends to 1, Trumpy and Gschwind",
          lambda: quotient(0.002, 0.147), "formula"),
    Worked("Callier quotient is never below 1", 0.0, 1e-9, "Q is at least 1, definition",
          lambda: min(0.0, min(quotient(d, e) for d in (0.01, 0.3, 1.0, 3.0) for e in (0.1, 0.4, 1.0)) - 1.0),
          "formula"),
    Worked("diffusion head, range over diffuse", 1.0, 0.003, "ISO 5-2:2009, diffuse density",
          lambda: head_range("diffusion-small"), "formula"),
    Worked("contact under a condenser head, range over diffuse", 1.0, 0.003,
          "ISO 5-2:2009: contact printing shows diffuse density",
          lambda: head_range("condenser-small", True), "formula"),
    Worked("a bare step on film and on paper", 0.0, 0.01, "+0.15 on film is half a stop less light, " + NAVY,
          lambda: tone_of(0.85, 4.0) - tone_of(1.0, 4.0 * 10**0.15)),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_negatives_agree_with_published_values(check: Worked) -> None:
    check.run()
