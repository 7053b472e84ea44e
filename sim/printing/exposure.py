"""Adding up what the paper received: every exposure's blue and green light, under its cards, BEFORE any curve.

Soft and hard exposures add here as light; only afterwards does the sheet answer with one density. Where all exposures
share one neutral picture of light, only the doses differ from place to place, and the sheet stays one coded picture.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import TypeVar

import numpy as np

from sim.bounded_store import LEAST_BYTES, MEGABYTE, KeptWithin
from sim.enlarger.coming_light import Burning
from sim.enlarger.easel import SheetGrid, sheet_grid
from sim.enlarger.easel_light import DensityCodes, EaselLight, project
from sim.enlarger.equipment import Head
from sim.enlarger.film_light import FilmLight, scattering_of
from sim.enlarger.filters import FilterSetting
from sim.enlarger.fine_detail import TOO_COARSE, FineDetail, fine_detail
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.lens_image import MARGIN_MM, widest_blur_mm
from sim.enlarger.light_given import coming_of, expected_light_s, paper_extra_s
from sim.enlarger.settings import Bench, set_up
from sim.enlarger.spectra import Lamp, Spectrum, per_lux
from sim.negative.negative import Negative
from sim.paper.emulsion import Emulsion
from sim.paper.stock import Stock
from sim.printing.cards import card_optics, lit_share
from sim.printing.patch import Patch, around
from sim.printing.record import Card, Exposure, PrintingRecord
from sim.quantities import WAVELENGTHS_NM, Float32Array, FloatArray

Dose = float | Float32Array

LIGHT_BYTES = 96 * MEGABYTE  # two lights of a sheet of six megapixels, dozens of a strip's
FILM_BYTES = 80 * MEGABYTE  # a series of four; some 20 MB each where whole sheets are printed
PIECE_BYTES = 16 * MEGABYTE  # the places of an evening's negatives at a few apertures; some 100 kB each
SNAP_PX = 16  # pieces begin and end on such steps, so that slightly different ones share one projection
LOUPE_MARGIN_MM = 1.0  # to look at, not to read a density from
NOTHING_MORE: tuple[FloatArray, FloatArray] = (np.zeros(1), np.zeros((1, 1)))  # a lamp whose colours come together
WORTH_IT = 0.5  # of the sheet: a piece that needs more is no cheaper than the sheet


@dataclass(frozen=True, eq=False)
class ExposurePart:
    """One exposure ready to be added: its light (None: bare), full seconds, and the share of them lit.

    ``seconds`` are of full light as the eye counts it, ``dimming`` what a screen before the lens makes of each. ``beam`` is
    the settled light without film or filter, in W/m2/nm on the axis; ``rates`` what paper gets of it per second, blue and
    green, through the filter. ``extra_s`` says by how much blue and green seconds differ from the eye's: blue comes late.
    """

    light: EaselLight | None
    filtration: FilterSetting
    seconds: float
    dimming: float
    head: Head
    beam: Spectrum
    rates: tuple[float, float]
    extra_s: tuple[FloatArray, FloatArray]
    lit: Patch | None

    def behind(self, filtration: FilterSetting, stock: Stock) -> ExposurePart:
        """Return the same exposure through another filter."""
        blue, green = stock.emulsion.exposures(self.beam * filtration.densities().transmittance())
        (more_blue, more_green), burning = stock.seen_behind(filtration.name), self.head.burning
        own = self.head.own
        more = 1.0 if own is None else 10.0 ** own.of_filter(filtration.name)[0]
        rates = blue * more_blue * more, green * more_green * more
        extra_s = NOTHING_MORE if burning is None else _extra_s(burning, filtration, stock.emulsion)
        return replace(self, filtration=filtration, rates=rates, extra_s=extra_s)

    def paper_seconds(self, seconds: FloatArray | float | None = None) -> tuple[FloatArray, FloatArray]:
        """Return seconds of full blue and of full green light, dimmed, for seconds as the eye counts them (its own)."""
        light_s = self.seconds if seconds is None else seconds
        moments, extra_s = self.extra_s
        of_each = [np.maximum(light_s + np.interp(light_s, moments, column), 0.0) * self.dimming for column in extra_s.T]
        return np.asarray(of_each[0]), np.asarray(of_each[-1])


@dataclass(frozen=True, eq=False)
class PaperExposure:
    """What the sheet received, as blue and green exposure.

    Either ``light`` is given (one neutral coded picture of light) and ``blue``/``green`` are doses that multiply it, as
    numbers or, under cards, as patches with the same box; or ``light`` is None and they are the exposures themselves,
    [row, col]. ``even_blue``/``even_green`` are added everywhere: safelight.
    """

    grid: SheetGrid
    light: DensityCodes | None
    blue: Dose | Patch
    green: Dose | Patch
    even_blue: float = 0.0
    even_green: float = 0.0

    @property
    def even_doses(self) -> tuple[float, float] | None:
        """Blue and green dose where they hold for all points of a shared picture of light, else None."""
        if self.light is not None and isinstance(self.blue, float) and isinstance(self.green, float):
            return self.blue, self.green
        return None

    def planes(self) -> tuple[Float32Array, Float32Array]:
        """Return blue and green exposure of every point, float32 [row, col]."""
        blue, green = (dose.whole if isinstance(dose, Patch) else dose for dose in (self.blue, self.green))
        if self.light is not None:
            picture = self.light.passed
            blue, green = picture * np.float32(blue), picture * np.float32(green)
        out_blue = np.asarray(blue, dtype=np.float32) + np.float32(self.even_blue)
        return out_blue, np.asarray(green, dtype=np.float32) + np.float32(self.even_green)


@lru_cache(maxsize=512)
def _extra_s(burning: Burning, filtration: FilterSetting, emulsion: Emulsion) -> tuple[FloatArray, FloatArray]:
    """Return by how much blue and green seconds through a filter differ from the eye's, by seconds of light."""
    settled = Lamp(burning.colour_k).spectral_power(WAVELENGTHS_NM)
    return paper_extra_s(burning.coming, settled * filtration.densities().transmittance() * emulsion.weightings())


Light = TypeVar("Light", EaselLight, FilmLight)
Kept = KeptWithin[tuple[Negative, Light]]


class LightCache:
    """Keeps the last few projections, so that a new time or filter needs no new projection. Owned by whoever prints.

    Bounded by bytes, and whole sheets by ``most`` where so many are all that is wanted. Counted are lights and what they
    work out later; the negatives they came from belong to others, who keep them anyway.
    """

    def __init__(self, most: int | None = 4, most_bytes: int = LIGHT_BYTES, films_of: LightCache | None = None):
        """``films_of`` is whose films this one shares: what a negative passes is the same for every sheet below it."""
        self._lights: Kept[EaselLight] = KeptWithin(most_bytes, _light_bytes, most)
        self._around: Kept[EaselLight] = KeptWithin(PIECE_BYTES, _light_bytes)
        self._pieces: Kept[EaselLight] = KeptWithin(PIECE_BYTES, _light_bytes)
        self._films: Kept[FilmLight] = films_of._films if films_of else KeptWithin(FILM_BYTES, _film_bytes)

    @property
    def bytes(self) -> int:
        """What is kept takes at most so much memory."""
        return sum(kept.bytes for kept in (self._lights, self._around, self._pieces, self._films))

    def get(
        self, negative: Negative, bench: Bench, grid: SheetGrid, f_number: float, exposure_time_s: float,
        fine: FineDetail = TOO_COARSE,
    ) -> EaselLight:  # fmt: skip
        """Return the light of an aperture on a sheet or a piece of one, projected now or remembered."""
        exposure_time_s = round(exposure_time_s, 2)  # what is remembered must not depend on who asked first
        if grid.whole is None:
            return self._projected(self._lights, negative, bench, grid, f_number, exposure_time_s, fine)
        make = partial(self._cut, negative, bench, grid, f_number, exposure_time_s, fine)
        key = _key(bench, grid, f_number, exposure_time_s, fine)
        return _remembered(self._pieces, negative, key, make)

    def _projected(
        self, among: Kept[EaselLight], negative: Negative, bench: Bench, grid: SheetGrid, f_number: float,
        exposure_time_s: float, fine: FineDetail,
    ) -> EaselLight:  # fmt: skip
        def make() -> EaselLight:
            seen_finer = grid.magnified and not bench.settings.contact  # a loupe looks into the negative itself
            film = None if seen_finer else self._film(negative, bench, f_number)
            return project(negative, bench, grid, f_number, exposure_time_s, film, fine)

        return _remembered(among, negative, _key(bench, grid, f_number, exposure_time_s, fine), make)

    def _cut(
        self, negative: Negative, bench: Bench, piece: SheetGrid, f_number: float, exposure_time_s: float,
        fine: FineDetail,
    ) -> EaselLight:  # fmt: skip
        """Return a piece's light, cut out of what had to be projected for it."""
        around = _around(negative, bench, piece, f_number, exposure_time_s)
        among = self._lights if around.whole is None else self._around
        light = self._projected(among, negative, bench, around, f_number, exposure_time_s, fine)
        top, left = (own - there for own, there in zip(piece.first_px, around.first_px, strict=True))
        return light.piece(slice(top, top + piece.rows), slice(left, left + piece.cols), piece)

    def _film(self, negative: Negative, bench: Bench, f_number: float) -> FilmLight:
        """Return what a negative passes into this lens; of the last few negatives it is kept.

        In diffuse light and in contact every head and aperture shares it.
        """
        key = (scattering_of(negative, bench, f_number), bench.settings.flipped)
        return _remembered(self._films, negative, key, lambda: FilmLight(negative, *key))


def _key(
    bench: Bench, grid: SheetGrid, f_number: float, exposure_time_s: float, fine: FineDetail
) -> tuple[object, ...]:
    """Return all that a projection depends on besides the negative; time only where the film warms and moves."""
    warming = exposure_time_s if bench.settings.carrier == "glassless" else 0.0
    return bench.settings, grid, f_number, warming, fine


def _remembered(among: Kept[Light], negative: Negative, key: tuple[object, ...], make: Callable[[], Light]) -> Light:
    """Return what is kept of a negative, or make and keep it; the longest unused goes.

    The negative is kept alive with it, so that its id cannot come to mean another one.
    """
    return among.keep((id(negative), *key), lambda: (negative, make()))[1]


def _film_bytes(kept: tuple[Negative, FilmLight]) -> int:
    """Return what a film's light may grow to: as much as its negative."""
    return kept[0].silver_density.nbytes


def _light_bytes(kept: tuple[Negative, EaselLight]) -> int:
    """Return what a light takes, with the neutral picture of 16-bit codes that it works out when first asked."""
    light = kept[1]
    return LEAST_BYTES + 2 * light.film.codes.nbytes + light.relative.nbytes + light.frame_silver.nbytes


def _around(
    negative: Negative, bench: Bench, piece: SheetGrid, f_number: float, exposure_time_s: float
) -> SheetGrid:
    """Return what must be projected for a piece: as much around it as the lens can smear into it, blades taken away.

    Begins and ends on steps, so that slightly different pieces share one projection; the sheet itself where a piece of it
    would be no cheaper.
    """
    assert piece.whole is not None
    whole = piece.whole
    smear_mm = widest_blur_mm(negative, bench, whole, f_number, exposure_time_s)
    margin = int(np.ceil(((LOUPE_MARGIN_MM if whole.magnified else MARGIN_MM) + smear_mm) * whole.px_per_mm))
    sides = []
    for first, count, most in zip(piece.first_px, (piece.rows, piece.cols), (whole.rows, whole.cols), strict=True):
        start = max(SNAP_PX * ((first - margin) // SNAP_PX), 0)
        sides.append(slice(start, min(-SNAP_PX * (-(first + count + margin) // SNAP_PX), most)))
    rows, cols = sides
    if (rows.stop - rows.start) * (cols.stop - cols.start) > WORTH_IT * whole.rows * whole.cols:
        return whole
    return replace(whole, border_mm=0.0).piece(rows, cols)


def _dimming(exposure: Exposure, schwarzschild_p: float) -> float:
    """Return what dimmed seconds count: light dimmed to E/k for t seconds acts like E for ``t k**(-1/p)``, p = 1: ``t/k``."""
    return float(2.0 ** (-exposure.dimmed_stops / schwarzschild_p))


def _as_light_comes(cards: tuple[Card, ...], head: Head, time_s: float) -> tuple[Card, ...]:
    """Return the cards with their moments counted in light that has come, so that the lamp's rise is lost at the start.

    A card that stays till the lamp goes off stays for its last glow. Even to-and-fro and circling are left as they are.
    """
    coming = coming_of(head)
    if coming is None or not cards:
        return cards

    def light(moment_s: float) -> float:
        return moment_s if moment_s >= time_s else time_s * coming.passed_share(moment_s, time_s)

    return tuple(card.at_moments(light) for card in cards)


def _part(
    exposure: Exposure, negative: Negative, bench: Bench, grid: SheetGrid, stock: Stock, lights: LightCache,
    schwarzschild_p: float,
) -> ExposurePart:  # fmt: skip
    """Return one exposure with its light and cards, in the sheet's own coordinates."""
    dx, dy = exposure.paper_shift_mm
    moved, (left, top) = grid.moved(dx, dy), grid.corner_mm
    optics = card_optics(bench, exposure.f_number)
    cards = tuple(card.placed(1.0, -dx - left, -dy - top) for card in exposure.cards)  # cards stay with the easel
    lit = lit_share(_as_light_comes(cards, bench.head, exposure.time_s), grid, optics, exposure.time_s)
    given_s = expected_light_s(exposure.time_s, bench.head) if exposure.light_s is None else exposure.light_s
    dimming = _dimming(exposure, schwarzschild_p)
    light: EaselLight | None = None
    if exposure.through == "open":
        beam = open_gate_lux(bench, exposure.f_number) * per_lux(bench.head.lamp)
    else:
        spread, contact = stock.half_contrast_lp_mm, bench.settings.contact
        fine = fine_detail(grid.px_per_mm, exposure.filter, spread, contact)
        light = lights.get(negative, bench, moved, exposure.f_number, exposure.time_s, fine)
        beam = light.illuminance_lux * light.lamp_per_lux
    part = ExposurePart(light, exposure.filter, given_s, dimming, bench.head, beam, (0.0, 0.0), NOTHING_MORE, lit)
    return part.behind(exposure.filter, stock)


def laid_out(
    negative: Negative, record: PrintingRecord, px_per_mm: float | None = None, magnified: bool = False
) -> tuple[Bench, SheetGrid]:
    """Return the bench of a record and its sheet's grid (at the negative's own pixels unless said)."""
    bench, sheet = set_up(record.enlarger, negative), record.sheet
    sides = (sheet.width_mm, sheet.height_mm, sheet.border_mm)
    return bench, replace(sheet_grid(negative, bench, *sides, sheet.image_shift_mm, px_per_mm), magnified=magnified)


def exposure_parts(
    negative: Negative, record: PrintingRecord, stock: Stock, bench: Bench, grid: SheetGrid, lights: LightCache
) -> list[ExposurePart]:
    """Return every exposure of a record on a sheet or a piece of one, ready to be added."""
    p = reciprocity_of(record, stock).p
    return [_part(exposure, negative, bench, grid, stock, lights, p) for exposure in record.exposures]


def expose(
    negative: Negative, record: PrintingRecord, stock: Stock, px_per_mm: float | None = None,
    lights: LightCache | None = None, piece: tuple[slice, slice] | None = None, magnified: bool = False,
) -> PaperExposure:  # fmt: skip
    """Return what the sheet received, or a piece of it (rows, columns), as it is or as a loupe shows it.

    Raises Refused for what the enlarger cannot do.
    """
    bench, grid = laid_out(negative, record, px_per_mm, magnified)
    grid = grid if piece is None else grid.piece(*piece)
    law, lamp_share = reciprocity_of(record, stock), lamp_beside_a_coin(record, grid)
    parts = exposure_parts(negative, record, stock, bench, grid, lights or LightCache())
    even_blue, even_green = safelight_on(record, stock)
    shared = {id(part.light): part.light for part in parts}
    (light, *others) = shared.values()
    seconds = [tuple(map(float, part.paper_seconds())) for part in parts]
    if lamp_share is None and not others and light is not None and light.is_neutral:
        blue, green = (_dose(parts, [s[k] for s in seconds], k, law) for k in (0, 1))
        return PaperExposure(grid, light.neutral_light, blue, green, even_blue, even_green)
    pictures = [light_per_second(part, stock, grid) for part in parts]
    lit = [None if part.lit is None else part.lit.whole for part in parts]
    planes = [law.total([(p[k], s[k], share) for p, s, share in zip(pictures, seconds, lit)]) for k in (0, 1)]
    if lamp_share is not None:
        planes = [plane + np.float32(even) * lamp_share for plane, even in zip(planes, (even_blue, even_green))]
        even_blue = even_green = 0.0
    return PaperExposure(grid, None, planes[0], planes[1], even_blue, even_green)


def _dose(parts: list[ExposurePart], seconds: list[float], colour: int, law: Reciprocity) -> float | Patch:
    """Return what multiplies a shared picture of light, blue (0) or green (1): a number, or a patch where cards were."""
    given = [(float(part.rates[colour]), light_s, part.lit) for part, light_s in zip(parts, seconds, strict=True)]
    beyond = law.total([(rate, light_s, None if lit is None else lit.beyond) for rate, light_s, lit in given])
    assert isinstance(beyond, float)
    shades = [lit for _, _, lit in given if lit is not None]
    box = around(lit.box for lit in shades)
    if box[0].stop <= box[0].start:
        return beyond
    inside = law.total([(rate, light_s, None if lit is None else lit.within(box)) for rate, light_s, lit in given])
    return Patch(shades[0].shape, box, np.asarray(inside, dtype=np.float32), beyond)


def safelight_on(record: PrintingRecord, stock: Stock) -> tuple[float, float]:
    """Return the blue and green exposure that the whole sheet gets from the safelight."""
    return record.safelight.exposures(stock.emulsion) if record.safelight else (0.0, 0.0)


def lamp_beside_a_coin(record: PrintingRecord, grid: SheetGrid) -> Float32Array | None:
    """Return the share of the safelight's light at every point [row, col]; None where no coin lies on a whole sheet."""
    lamp = record.safelight
    if lamp is None or lamp.coin_mm is None or record.sheet.kind == "strip":
        return None
    left, top = grid.corner_mm
    share = lamp.beside_the_coin(grid.x_mm[None, :] + left, grid.y_mm[:, None] + top, 1.0 / grid.px_per_mm)
    return share.astype(np.float32)


def light_per_second(part: ExposurePart, stock: Stock, grid: SheetGrid) -> list[Dose]:
    """Return blue and green exposure per second of one exposure, cards left out, as pictures (or a number for none)."""
    light = part.light
    if light is None:
        window = np.zeros((grid.rows, grid.cols), dtype=np.float32)
        window[grid.open_window()] = 1.0
        return [window * np.float32(rate) for rate in part.rates]
    if light.is_neutral:
        picture = light.neutral_light.passed
        return [picture * np.float32(rate) for rate in part.rates]
    own = part.head.own
    more = 1.0 if own is None else 10.0 ** own.of_filter(part.filtration.name)[0]
    seen = tuple(more * one for one in stock.seen_behind(part.filtration.name))
    stained = light.stained_light(stock.emulsion.weightings(), part.filtration)
    pictures: list[Dose] = [_times(picture, by) if by != 1.0 else picture for picture, by in zip(stained, seen)]
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

    def total(self, parts: Sequence[tuple[Dose, float, Dose | None]]) -> Dose:
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
