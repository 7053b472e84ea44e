"""Adding up what the paper received: every exposure's blue and green light, under its cards, BEFORE any curve.

Soft and hard exposures add here as light; only afterwards does the sheet answer with one density. Where all exposures
share one neutral picture of light, only the doses differ from place to place, and the sheet stays one coded picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid, sheet_grid
from sim.enlarger.easel_light import DensityCodes, EaselLight, FilmLight, film_light, project
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import working_f_number
from sim.enlarger.illuminance import contact_illuminance_lux, on_axis_illuminance_lux
from sim.enlarger.settings import Bench, checked_aperture, set_up
from sim.enlarger.spectra import per_lux
from sim.enlarger.timer import expected_light_s
from sim.negative.negative import Negative
from sim.paper.emulsion import Emulsion
from sim.paper.stock import Stock
from sim.printing.cards import CardOptics, lit_share
from sim.printing.record import Exposure, PrintingRecord

Float32Array = NDArray[np.float32]
FloatArray = NDArray[np.float64]
Dose = float | Float32Array

FILMS_KEPT = 6  # a series of four, an evening of five; some 5 MB each


@dataclass(frozen=True, eq=False)
class ExposurePart:
    """One exposure ready to be added: its light (None: bare), full seconds, blue and green per second, share lit."""

    light: EaselLight | None
    filtration: FilterSetting
    seconds: float
    rates: tuple[float, float]
    lit: Float32Array | None


@dataclass(frozen=True, eq=False)
class PaperExposure:
    """What the sheet received, as blue and green exposure.

    Either ``light`` is given (one neutral coded picture of light) and ``blue``/``green`` are doses that multiply it, as
    numbers or [row, col]; or ``light`` is None and they are the exposures themselves, [row, col].
    ``even_blue``/``even_green`` are added everywhere: safelight.
    """

    grid: SheetGrid
    light: DensityCodes | None
    blue: Dose
    green: Dose
    even_blue: float = 0.0
    even_green: float = 0.0

    def planes(self) -> tuple[Float32Array, Float32Array]:
        """Return blue and green exposure of every point, float32 [row, col]."""
        blue, green = self.blue, self.green
        if self.light is not None:
            table = np.append(10.0**-self.light.levels, 0.0).astype(np.float32)
            picture = table.take(self.light.codes)
            blue, green = picture * np.float32(blue), picture * np.float32(green)
        out_blue = np.asarray(blue, dtype=np.float32) + np.float32(self.even_blue)
        return out_blue, np.asarray(green, dtype=np.float32) + np.float32(self.even_green)


class LightCache:
    """Keeps the last few projections, so that a new time or filter needs no new projection. Owned by whoever prints."""

    def __init__(self, most: int = 4):
        self._most = most
        self._lights: dict[tuple[object, ...], tuple[Negative, EaselLight]] = {}
        self._films: dict[tuple[object, ...], tuple[Negative, FilmLight]] = {}

    def get(
        self, negative: Negative, bench: Bench, grid: SheetGrid, f_number: float, exposure_time_s: float
    ) -> EaselLight:
        """Return the light of an aperture, projected now or remembered."""
        warming = round(exposure_time_s, 2) if bench.settings.carrier == "glassless" else 0.0
        key = (id(negative), bench.settings, grid, f_number, warming)
        kept = self._lights.pop(key, None)
        if kept is None:  # the negative is kept alive with its light, so that its id cannot come to mean another one
            kept = negative, project(negative, bench, grid, f_number, exposure_time_s, self._film(negative, bench))
        self._lights[key] = kept
        while len(self._lights) > self._most:
            del self._lights[next(iter(self._lights))]
        return kept[1]

    def _film(self, negative: Negative, bench: Bench) -> FilmLight:
        """Return what a negative passes to this head; of the last few negatives it is kept."""
        settings = bench.settings
        key = (id(negative), settings.head, settings.contact, settings.flipped)
        kept = self._films.pop(key, None) or (negative, film_light(negative, bench))
        self._films[key] = kept
        while len(self._films) > FILMS_KEPT:
            del self._films[next(iter(self._films))]
        return kept[1]


def _seconds(exposure: Exposure, bench: Bench, schwarzschild_p: float) -> float:
    """Return seconds of full light; light dimmed to E/k for t seconds acts like E for ``t k**(-1/p)``, p = 1: ``t/k``."""
    given = expected_light_s(exposure.time_s, bench.head) if exposure.light_s is None else exposure.light_s
    return given * 2.0 ** (-exposure.dimmed_stops / schwarzschild_p)


def _open_level_lux(bench: Bench, f_number_mark: float) -> float:
    """Return illuminance on the axis with nothing in the carrier."""
    f_number, head, lens = checked_aperture(bench.lens, f_number_mark), bench.head, bench.lens
    if bench.settings.contact:
        return contact_illuminance_lux(
            head.gate_luminance_cd_m2, lens.transmittance, bench.lens_to_paper_mm, lens.focal_mm, f_number
        )
    working_f = working_f_number(f_number, bench.magnification)
    return on_axis_illuminance_lux(head.gate_luminance_cd_m2, lens.transmittance, working_f)


def _part(
    exposure: Exposure, negative: Negative, bench: Bench, grid: SheetGrid, emulsion: Emulsion, lights: LightCache,
    schwarzschild_p: float,
) -> ExposurePart:  # fmt: skip
    """Return one exposure with its light and cards, in the sheet's own coordinates."""
    dx, dy = exposure.paper_shift_mm
    moved = replace(grid, shift_mm=(grid.shift_mm[0] - dx, grid.shift_mm[1] - dy))
    pupil_mm = bench.lens.focal_mm / checked_aperture(bench.lens, exposure.f_number)
    optics = CardOptics(bench.lens_to_paper_mm, pupil_mm)
    cards = tuple(card.placed(1.0, -dx, -dy) for card in exposure.cards)  # cards stay with the easel
    lit = lit_share(cards, grid, optics, exposure.time_s)
    seconds = _seconds(exposure, bench, schwarzschild_p)
    if exposure.through == "open":
        spectrum = _open_level_lux(bench, exposure.f_number) * per_lux(bench.head.lamp)
        rates = emulsion.exposures(spectrum * exposure.filter.densities().transmittance())
        return ExposurePart(None, exposure.filter, seconds, rates, lit)
    light = lights.get(negative, bench, moved, exposure.f_number, exposure.time_s)
    return ExposurePart(light, exposure.filter, seconds, emulsion.exposures(light.open_spectrum(exposure.filter)), lit)


def expose(
    negative: Negative, record: PrintingRecord, stock: Stock, px_per_mm: float | None = None,
    lights: LightCache | None = None,
) -> PaperExposure:  # fmt: skip
    """Return what the sheet received. Raises SettingsRefused or ValueError for what the enlarger cannot do."""
    bench = set_up(record.enlarger, negative)
    sheet = record.sheet
    grid = sheet_grid(
        negative, bench, sheet.width_mm, sheet.height_mm, sheet.border_mm, sheet.image_shift_mm, px_per_mm
    )
    cache = lights if lights is not None else LightCache()
    emulsion = stock.emulsion
    law = reciprocity_of(record, stock)
    parts = [_part(exposure, negative, bench, grid, emulsion, cache, law.p) for exposure in record.exposures]
    even_blue, even_green = record.safelight.exposures(emulsion) if record.safelight else (0.0, 0.0)
    shared = {id(part.light): part.light for part in parts}
    (light, *others) = shared.values()
    if not others and light is not None and light.is_neutral:
        doses = [law.total([(part.rates[k], part.seconds, part.lit) for part in parts]) for k in (0, 1)]
        return PaperExposure(grid, light.neutral_light, doses[0], doses[1], even_blue, even_green)
    pictures = [_pictures(part, emulsion, grid) for part in parts]
    planes = [law.total([(p[k], part.seconds, part.lit) for p, part in zip(pictures, parts)]) for k in (0, 1)]
    return PaperExposure(grid, None, planes[0], planes[1], even_blue, even_green)


def _pictures(part: ExposurePart, emulsion: Emulsion, grid: SheetGrid) -> list[Dose]:
    """Return blue and green exposure per second of one exposure as pictures (or numbers for bare light)."""
    light = part.light
    if light is None:
        window = np.zeros((grid.rows, grid.cols), dtype=np.float32)
        window[grid.open_window()] = 1.0
        return [window * np.float32(rate) for rate in part.rates]
    if light.is_neutral:
        codes = light.neutral_light
        picture = np.append(10.0**-codes.levels, 0.0).astype(np.float32).take(codes.codes)
        return [picture * np.float32(rate) for rate in part.rates]
    tables = light.stained_tables(emulsion.weightings(), part.filtration).astype(np.float32)
    pictures: list[Dose] = [table.take(light.film.codes) * light.relative for table in tables]
    return pictures if len(pictures) == 2 else [pictures[0], 0.0]


@dataclass(frozen=True)
class Reciprocity:
    """How exposures in time add up: plainly, or with failure at long and weak exposures.

    With Schwarzschild's p the sum is ``(sum_i E_i**(1/p) t_i)**p`` in units of a reference time: ``E t**p`` for a single
    exposure, and cutting an exposure in two changes nothing. Source of the law: E x t**p (Schwarzschild 1900); the
    additive form is ours. It acts on the blue and the green exposure, not on every grain class (simplification).
    """

    p: float = 1.0
    reference_time_s: float = 1.0

    def total(self, parts: list[tuple[Dose, float, Float32Array | None]]) -> Dose:
        """Return the effective exposure of (light per second, seconds, share lit) parts."""
        total: Dose = 0.0
        for rate, seconds, lit in parts:
            dose = _times(_powered(rate, 1.0 / self.p), seconds)
            total = total + (dose if lit is None else dose * lit)
        return _times(_powered(total, self.p), self.reference_time_s ** (1.0 - self.p))

    def at_places(self, rates: Sequence[FloatArray], seconds: Sequence[FloatArray | float]) -> FloatArray:
        """Return the same sum in float64 for a few places: light per second and seconds of each exposure."""
        total = np.sum([rate ** (1.0 / self.p) * t for rate, t in zip(rates, seconds, strict=True)], axis=0)
        return np.asarray(self.reference_time_s ** (1.0 - self.p) * total**self.p)


def reciprocity_of(record: PrintingRecord, stock: Stock) -> Reciprocity:
    """Return how exposures add up on a record's sheet: the stock's failure when the record asks for it, else plainly."""
    return Reciprocity(stock.schwarzschild_p, stock.reference_time_s) if record.reciprocity else Reciprocity()


def _powered(dose: Dose, power: float) -> Dose:
    """Return a dose to a power, pictures staying float32."""
    if power == 1.0:
        return dose
    return np.power(dose, np.float32(power)) if isinstance(dose, np.ndarray) else dose**power


def _times(dose: Dose, factor: float) -> Dose:
    """Return a dose times a number, pictures staying float32."""
    return dose * np.float32(factor) if isinstance(dose, np.ndarray) else dose * factor
