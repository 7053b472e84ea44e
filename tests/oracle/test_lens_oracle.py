"""The lens against the slow way: rendered edges, and the pupil laid over itself point by point in all the light that prints.

Lenses are the data file's; a wave of its ``spherical_waves`` is one of 500 nm, where the light that prints has its middle.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from enlarger.knife_edge import HEADS, bench_of, edge_contrast

from sim.enlarger import lens_image, settings
from sim.enlarger.filters import FilterSetting
from sim.enlarger.focus import traced_transfer
from sim.enlarger.printing_light import printing_wavelengths_mm

from .lens import contrast, light_that_prints

AGREES_WITHIN = 0.006  # of contrast
SHOWS = 2 * AGREES_WITHIN
# lens, magnification, f-number, filter, lp/mm, mm out of focus
CASES: dict[str, tuple[str, float, float, str | None, float, float]] = {
    "wide open": ("50-mm", 8.467, 2.8, None, 5.0, 0.0),
    "one stop down": ("50-mm", 8.467, 4.0, None, 10.0, 0.0),
    "smallest, no filter": ("50-mm", 8.467, 16.0, None, 5.0, 0.0),
    "smallest, softest filter": ("50-mm", 8.467, 16.0, "00", 5.0, 0.0),
    "smallest, hardest filter": ("50-mm", 8.467, 16.0, "5", 5.0, 0.0),
    "smallest, hardest filter, fine detail": ("50-mm", 8.467, 16.0, "5", 10.0, 0.0),
    "wide open, negative too high": ("50-mm", 8.467, 2.8, "2", 3.0, 0.05),
    "wide open, negative too low": ("50-mm", 8.467, 2.8, "2", 3.0, -0.05),
    "medium film wide open": ("80-mm", 4.0, 4.0, "3", 8.0, 0.0),
    "large film wide open": ("150-mm", 2.14, 5.6, "2", 10.0, 0.0),
}  # fmt: skip


def both(case: str) -> tuple[float, float]:
    """Return the contrast of a case on a rendered edge, and the oracle's."""
    lens, size, f_number, name, frequency, focus_mm = CASES[case]
    bench = bench_of(lens, size, focus_offset_mm=focus_mm)
    wanted = contrast(frequency, HEADS[lens], lens, FilterSetting(name), f_number, size, focus_mm)
    return edge_contrast(bench, f_number, frequency, name), abs(wanted)


@pytest.mark.parametrize("case", CASES)
def test_a_rendered_edge_agrees_with_the_pupil_summed_point_by_point(case: str) -> None:
    measured, wanted = both(case)
    assert measured == pytest.approx(wanted, abs=AGREES_WITHIN)


@pytest.mark.parametrize("f_number", [2.8, 5.6, 16.0])
@pytest.mark.parametrize("along", ["radial", "tangential"])
def test_off_the_axis_both_directions_agree_with_the_oracle(f_number: float, along: str) -> None:
    bench, off_mm = bench_of("50-mm", 8.467), 150.0
    right, down = (off_mm, 0.0) if along == "radial" else (0.0, off_mm)
    wanted = contrast(5.0, "diffusion-small", "50-mm", FilterSetting(), f_number, 8.467, 0.0, off_mm, along)
    assert edge_contrast(bench, f_number, 5.0, None, right, down) == pytest.approx(abs(wanted), abs=AGREES_WITHIN)


WRONG: dict[str, tuple[str, Any]] = {
    "one wavelength for all filters": (
        "smallest, hardest filter", ("printing_wavelengths_mm", lambda lamp, filtration: (0.5e-3,))),
    "one wavelength for all light, fine detail": (
        "smallest, hardest filter, fine detail", ("printing_wavelengths_mm", lambda lamp, filtration: (0.5e-3,))),
    "the colour of the filter left out": (
        "smallest, softest filter",
        ("printing_wavelengths_mm", lambda lamp, filtration: printing_wavelengths_mm(lamp, FilterSetting("5")))),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_light_of_the_wrong_colour_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    case, (function, value) = WRONG[name]
    monkeypatch.setattr(lens_image, function, value)
    measured, wanted = both(case)
    assert abs(measured - wanted) > SHOWS


@pytest.mark.parametrize("case", ["wide open", "medium film wide open", "large film wide open"])
@pytest.mark.parametrize("factor", [0.67, 1.5])
def test_half_as_much_aberration_again_or_a_third_less_is_noticed(
    case: str, factor: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    find = settings.find_lens
    monkeypatch.setattr(settings, "find_lens", lambda n: replace(find(n), spherical_waves=factor * find(n).spherical))
    measured, wanted = both(case)
    assert abs(measured - wanted) > SHOWS


@pytest.mark.parametrize(("name", "within"), [(None, 0.003), ("00", 0.003), ("5", 0.004)])
def test_seven_wavelengths_stand_for_all_forty_nine(name: str | None, within: float) -> None:
    frequency, working_f = np.linspace(0.5, 12.0, 24), 151.5
    head = bench_of("50-mm", 8.467).head
    seven = traced_transfer(frequency, working_f, printing_wavelengths_mm(head.lamp, FilterSetting(name)), 0.0, 0.0)
    shares = light_that_prints("diffusion-small", FilterSetting(name))
    nm = np.arange(380.0, 621.0, 5.0)
    all_of_them = sum(
        share * traced_transfer(frequency, working_f, (one * 1e-6,), 0.0, 0.0) for one, share in zip(nm, shares)
    )
    assert seven == pytest.approx(all_of_them, abs=within)
