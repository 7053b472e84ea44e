"""Lamps, filters, lightness: published tables, and live comparison with a reference package of colorimetry."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from laws.worked import Worked, as_parameters
from published.sheets import Way, band, light_for, patches

from sim.enlarger.filters import FilterDensities, magenta_dye
from sim.enlarger.spectra import LUMINOUS_EFFICACY_LM_W, VISIBLE_NM, Lamp, illuminance_of, photopic_efficiency, planck
from sim.negative.targets import WEDGE_STEPS, step_wedge
from sim.quantities import WAVELENGTHS_NM
from sim.viewing.lightness import lightness, screen_values, srgb_encoded

CIE_A = "CIE 15, standard illuminant A; also S. F. Ray, Applied Photographic Optics"
PLANCK = "Planck's law with c2 of CODATA 2018, computed"
CIE_V = "CIE 1924 luminous efficiency, CIE 18.2"
EFFICACY = "683 lm/W times the V-weighted share of a glowing body, computed over all wavelengths"
GELATIN = "measured gelatin colour-compensating filters, a microscope maker's tables; clear base 0.90 taken off"
CC_UNITS = "filter number over 100 is peak density, common practice; 1 stop = 0.30103"
CIE_L = "CIE 15, lightness"
SRGB = "IEC 61966-2-1, computed"
# Illuminant A is defined with a rounded constant; with today's c2 it is a glowing body of this temperature.
TEMPERATURE_A_K = 2848.0 * 0.014387768775 / 0.01435
WAY, FILM = Way(), patches(1.0)


def glow(wavelength_nm: float, temperature_k: float) -> float:
    """Return spectral radiance, 100 at 560 nm."""
    return 100.0 * float(planck(np.array([wavelength_nm]), temperature_k)[0])


def eye(wavelength_nm: float) -> float:
    """Return V(lambda)."""
    return float(photopic_efficiency(np.array([wavelength_nm]))[0])


def efficacy_lm_w(temperature_k: float) -> float:
    """Return lumens per watt of a glowing body."""
    everywhere = np.arange(200.0, 60_000.0, 5.0)
    watts = float(planck(everywhere, temperature_k).sum() * 5.0)
    return illuminance_of(Lamp(temperature_k).spectral_power(VISIBLE_NM)) / watts


def density(filters: FilterDensities, wavelength_nm: float) -> float:
    """Return a filter's density at a wavelength."""
    return -float(np.interp(wavelength_nm, WAVELENGTHS_NM, np.log10(filters.transmittance())))


def yellow_shape(wavelength_nm: float) -> float:
    """Return a yellow filter's density against 450 nm."""
    yellow = FilterDensities(yellow=0.5)
    return density(yellow, wavelength_nm) / density(yellow, 450.0)


def printed_at(wanted: float) -> np.ndarray:
    """Return the density, as read, of a patch printed to a density."""
    light_s = light_for(lambda s: band(WAY.sheet(FILM, WAY.exposure(s))), wanted)
    return np.array([band(WAY.sheet(FILM, WAY.exposure(light_s)))])


def _lightness_checks() -> list[Worked]:
    rows = (
        (0.10, 91.430, 0.1),
        (0.30, 76.142, 0.1),
        (0.75, 49.232, 0.1),
        (1.0, 37.842, 0.1),
        (1.5, 20.682, 0.1),
        (2.0, 8.991, 0.1),
    )
    return [
        Worked(f"L* of a patch printed to {d:.2f}", value, tol, CIE_L, lambda d=d: float(lightness(printed_at(d))[0]))
        for d, value, tol in rows
    ]


def _screen_checks() -> list[Worked]:
    rows = ((0.30, 187.7), (0.60, 137.3), (0.75, 117.0), (1.0, 89.0))
    return [
        Worked(
            f"screen grey of a patch printed to {d:.2f}",
            value,
            0.8,
            SRGB,
            lambda d=d: float(screen_values(printed_at(d))[0]),
        )
        for d, value in rows
    ]


def _glow_checks() -> list[Worked]:
    a = [(400.0, 14.7080), (450.0, 33.0859), (500.0, 59.8611), (620.0, 143.6182), (700.0, 198.2612)]
    rows = [
        Worked(f"illuminant A at {nm:.0f} nm", v, 0.003, CIE_A, lambda nm=nm: glow(nm, TEMPERATURE_A_K), "formula")
        for nm, v in a
    ]
    rows += [
        Worked(f"3200 K at {nm:.0f} nm", v, 0.002, PLANCK, lambda nm=nm: glow(nm, 3200.0), "formula")
        for nm, v in ((450.0, 41.918), (520.0, 78.097), (620.0, 130.795))
    ]
    return rows + [
        Worked(f"V at {nm:.0f} nm", v, 0.001 if nm != 555.0 else 0.006, CIE_V, lambda nm=nm: eye(nm), "formula")
        for nm, v in ((450.0, 0.038), (520.0, 0.710), (555.0, 1.0), (590.0, 0.757), (620.0, 0.381))
    ]


TABLE = (
    *_lightness_checks(),
    *_screen_checks(),
    *_glow_checks(),
    Worked("blue over green of a 3200 K lamp", 0.5015, 0.0005, PLANCK,
          lambda: glow(450.0, 3200.0) / glow(530.0, 3200.0), "formula"),
    Worked("lumens per watt at 2856 K", 16.46, 0.1, EFFICACY, lambda: efficacy_lm_w(2856.0), "formula"),
    Worked("lumens per watt at 3200 K", 27.1, 0.15, EFFICACY, lambda: efficacy_lm_w(3200.0), "formula"),
    Worked("yellow filter at 480 nm against 450", 0.575, 0.02, GELATIN, lambda: yellow_shape(480.0), "formula"),
    Worked("yellow filter at 500 nm against 450", 0.200, 0.02, GELATIN, lambda: yellow_shape(500.0), "formula"),
    Worked("yellow 50 over yellow 20 at 450 nm", 2.50, 0.01, GELATIN + ": 2.503",
          lambda: density(FilterDensities(yellow=0.5), 450.0) / density(FilterDensities(yellow=0.2), 450.0), "formula"),
    Worked("blue lost in magenta, share of the peak", 0.12, 0.02, GELATIN,
          lambda: density(FilterDensities(magenta=0.5), 450.0) / 0.5, "formula"),
    Worked("magenta at 500 nm, share of the peak", 0.544, 0.03, GELATIN,
          lambda: density(FilterDensities(magenta=0.5), 500.0) / 0.5, "formula"),
    Worked("magenta is densest at, nm", 550.0, 10.0, GELATIN,
          lambda: float(WAVELENGTHS_NM[np.argmin(FilterDensities(magenta=0.5).transmittance())]), "formula"),
    Worked("yellow 30 in blue, stops", 0.997, 0.002, CC_UNITS,
          lambda: density(FilterDensities(yellow=0.3), 390.0) / np.log10(2.0), "arithmetic"),
    Worked("yellow 100 in blue, stops", 3.322, 0.006, CC_UNITS,
          lambda: density(FilterDensities(yellow=1.0), 390.0) / np.log10(2.0), "arithmetic"),
    Worked("neutral 0.30, stops", 0.997, 0.001, CC_UNITS,
          lambda: density(FilterDensities(neutral=0.3), 500.0) / np.log10(2.0), "arithmetic"),
    Worked("lumens per watt at 555 nm", 683.0, 4.0, "definition of the candela, 540 THz",
          lambda: LUMINOUS_EFFICACY_LM_W * eye(555.0), "formula"),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_light_agrees_with_published_tables(check: Worked) -> None:
    check.run()


@pytest.fixture
def colour() -> Iterator[Any]:
    """Import the reference package; only its own notes about missing plotting packages are silenced."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=".*related API features are not available.*")
        import colour

        yield colour


def test_eye_agrees_with_the_reference_table(colour: Any) -> None:
    theirs = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"]
    nodes = np.arange(380.0, 781.0, 10.0)
    assert photopic_efficiency(nodes) == pytest.approx(np.array([theirs[nm] for nm in nodes]), rel=1e-3, abs=1e-7)
    fine = np.arange(400.0, 701.0, 1.0)
    assert photopic_efficiency(fine) == pytest.approx(np.array([theirs[nm] for nm in fine]), abs=0.012)


def test_illuminant_a_agrees_with_the_reference(colour: Any) -> None:
    theirs = colour.SDS_ILLUMINANTS["A"]
    nodes = np.arange(380.0, 781.0, 5.0)
    assert 100.0 * planck(nodes, TEMPERATURE_A_K) == pytest.approx(np.array([theirs[nm] for nm in nodes]), rel=2e-4)


def test_glowing_body_agrees_with_the_reference(colour: Any) -> None:
    shape = colour.SpectralShape(380, 780, 5)
    theirs = colour.sd_blackbody(3200.0, shape)
    ratio = planck(VISIBLE_NM, 3200.0) / np.asarray(theirs.values)
    assert ratio / ratio.mean() == pytest.approx(np.ones_like(ratio), rel=2e-4)  # it rounds the constant c2


@pytest.fixture
def printed_steps() -> np.ndarray:
    """Print the step tablet and read every step."""
    from dataclasses import replace

    wedge = replace(patches(0.0, frame_mm=(63.0, 12.0)), silver_density=step_wedge(24, 126))
    way = Way(contact=True, magnification=8.0, f_number=5.6)
    sheet = way.sheet(wedge, way.exposure(20.0))
    return np.array([band(sheet, k, WEDGE_STEPS, 0.5) for k in range(WEDGE_STEPS)])


def test_lightness_of_a_printed_step_tablet_agrees_with_the_reference(colour: Any, printed_steps: np.ndarray) -> None:
    theirs = colour.colorimetry.lightness_CIE1976(100.0 * 10.0**-printed_steps)
    assert np.ptp(printed_steps) > 1.9
    assert lightness(printed_steps) == pytest.approx(theirs, abs=1e-3)


def test_screen_values_of_a_printed_step_tablet_agree_with_the_reference(
    colour: Any, printed_steps: np.ndarray
) -> None:
    theirs = colour.models.eotf_inverse_sRGB(10.0**-printed_steps)
    assert srgb_encoded(10.0**-printed_steps) == pytest.approx(theirs, abs=1e-6)
    assert screen_values(printed_steps).astype(float) == pytest.approx(255.0 * np.asarray(theirs), abs=1.0)


def test_magenta_leaks_blue_only_where_it_is_made_of_gelatin() -> None:
    clean = float(magenta_dye(np.array([430.0]), 0.0)[0])
    assert clean < 0.02 < float(magenta_dye(np.array([430.0]))[0])
