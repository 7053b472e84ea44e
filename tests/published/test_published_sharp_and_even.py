"""Sharpness, evenness and grain, read from printed knife edges, corners and even tones."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.negative.negative import Negative
from sim.refusals import Refused
from sim.viewing.densitometer import spot_density

from .checks import Check, as_parameters, between, kept
from .scenes import log_for, taken
from .sheets import PrintedCurve, Way, light_for, light_for_net, patches, printed_curve, with_filter

WIDEST = {"50-mm": 2.8, "80-mm": 4.0, "105-mm": 5.6, "150-mm": 5.6}
SIZE = {"50-mm": 8.4667, "80-mm": 3.629, "105-mm": 3.629, "150-mm": 2.139}  # 8x10 in from each lens's format
MARKS = (2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0)
FILM_LP_MM = 40.0  # the detail that a good negative still carries

BEST_STOP = "an enlarging lens is best one or two stops from its widest, a flat negative in a glass carrier: {}"
COLOURS = "diffraction in blue (445 nm) and green (540 nm) light at f/16, working at f/151; textbook transfer"
POPPED = "stop down to f/8 and a small negative without glass prints sharp; wide open it does not"
EVENED = "a lens's barrel darkens the corners by half a stop or more wide open"
NUTTING = (
    "opaque dots laid at random fluctuate as the root of density: P. G. Nutting, Philosophical Magazine 26, 1913; films are"
    " read at 0.4 to 0.5 (from memory)"
)
COVERED = "enlarging lenses are sold for a format: 50 mm for 24 x 36, 80 for 6 x 6, 105 for 6 x 9 cm, 150 for 4 x 5 in"
GAUSS = "a lens of the engraved focal length f stands f(2 + m + 1/m) between negative and paper; engraved within 1 to 2 %"
SELWYN = "Selwyn's law and RMS 14-18 of fast films; print grain is film grain times paper slope (Morris and Wait)"


def knife_edge(size: float, px_per_mm: float, side_mm: float = 20.0) -> Negative:
    """Return a negative with an upright edge of density 0.6 to 0.8, for a print of a side in mm."""
    pixels = round(side_mm * px_per_mm / 2) * 2
    row = np.full(pixels, 0.80, dtype=np.float32)
    row[: pixels // 2] = 0.60
    return Negative("edge", np.broadcast_to(row, (pixels // 2, pixels)).copy(), 0.0, (side_mm / size, side_mm / 2 / size))


def light_of(densities: np.ndarray, curve: PrintedCurve) -> np.ndarray:
    """Return the light that printed to densities above white."""
    rising = np.concatenate([[True], np.diff(curve.net_density) > 1e-7])
    return np.asarray(10.0 ** np.interp(densities, curve.net_density[rising], curve.log_light[rising]))


@kept
def printed_contrast(way: Way, lp_mm: float, px_per_mm: float = 40.0, dialled_s: float | None = None) -> float:
    """Return contrast at a frequency on the print, from the light along a printed knife edge."""
    edge = knife_edge(way.magnification, px_per_mm)
    light_s = light_for_net(way, patches(0.70, frame_mm=edge.frame_mm), 0.7)
    sheet = way.sheet(edge, way.exposure(light_s, time_s=dialled_s), px_per_mm=px_per_mm)
    left, top, width, height = sheet.frame_mm
    (r0, c0), (r1, c1) = sheet.at(left + 2.0, top + 3.0), sheet.at(left + width - 2.0, top + height - 3.0)
    tones = sheet.density[r0:r1, c0:c1].astype(float).mean(axis=0) - sheet.base_plus_fog
    line = np.diff(light_of(tones, printed_curve(way)))
    wave = np.exp(-2j * np.pi * lp_mm * np.arange(len(line)) / px_per_mm)
    return float(abs((line * wave).sum() / line.sum()))


@kept
def best_stops_down(lens: str) -> float:
    """Return stops from the widest aperture at which a flat negative prints sharpest (the top of a parabola)."""
    size = SIZE[lens]
    head = "diffusion-sheet" if lens == "150-mm" else "diffusion-small"
    marks = [mark for mark in MARKS if mark >= WIDEST[lens]][:5]
    px_per_mm = max(40.0, 4.0 * FILM_LP_MM / size)
    seen = [
        printed_contrast(Way(head=head, lens=lens, magnification=size, f_number=n), FILM_LP_MM / size, px_per_mm)
        for n in marks
    ]
    top = int(np.argmax(seen))
    if top in (0, len(seen) - 1):
        return float(top)
    before, at, after = seen[top - 1 : top + 2]
    return top + 0.5 * (before - after) / (before - 2.0 * at + after)


def sharper_in_blue() -> float:
    """Return contrast at 10 lp/mm at f/16 behind the hardest filter over that behind the softest."""
    way = Way(magnification=SIZE["50-mm"], f_number=16.0)
    hard, soft = (printed_contrast(with_filter(way, name), 10.0) for name in ("5", "00"))
    return hard / soft


def diffraction(nm: float, lp_mm: float, working_f: float) -> float:
    """Return the transfer of a perfect lens."""
    s = lp_mm * nm * 1e-6 * working_f
    return float(2.0 / np.pi * (np.arccos(s) - s * np.sqrt(1.0 - s * s)))


def popped_contrast(f_number: float) -> float:
    """Return contrast at 5 lp/mm of a glassless print begun from cold, focused in the first second."""
    way = Way(magnification=SIZE["50-mm"], f_number=f_number, carrier="glassless", focused="cold")
    return printed_contrast(way, 5.0, 40.0, 20.0)


@kept
def corner_stops(f_number: float) -> float:
    """Return the stops by which the corner of an 8x10 in print from 35 mm film lies below its middle."""
    way = Way(magnification=SIZE["50-mm"], f_number=f_number, paper_mm=(203.2, 254.0))
    film = patches(1.2)

    def read(light_s: float, x: float, y: float) -> float:
        record = way.record(film, way.exposure(light_s))
        record = replace(record, sheet=replace(record.sheet, border_mm=0.0))
        return spot_density(way.print_of(film, record, 1.0), x, y, 1.0)

    wanted = read(1.2 * f_number**2 / 8.0, 101.6, 127.0)
    return float(np.log2(light_for(lambda s: read(s, 1.0, 1.0), wanted) / (1.2 * f_number**2 / 8.0)))


@kept
def rms_from_a_print(film: str, net_density: float = 1.0) -> float:
    """Return the RMS granularity that spots of 0.5 mm on an 8.5 times print tell of film at a net density."""
    card = taken(np.full((560, 560), log_for(net_density, film)), film, 1.0, 0.01)
    way = with_filter(Way(stock="glossy-fb-vc", magnification=8.4667), "2")
    even = patches(float(card.silver_density.mean()), base=card.base_density, frame_mm=card.frame_mm)
    sheet = way.sheet(card, way.exposure(light_for_net(way, even, 0.7)))
    left, top, width, height = sheet.frame_mm
    steps = np.arange(2.0, min(width, height) - 2.0, 0.9)
    read = [spot_density(sheet, left + x, top + y, 0.5) for x in steps for y in steps]
    on_film_mm = 0.5 / 8.4667
    return 1000.0 * float(np.std(read)) / printed_curve(way).slope(0.7) * on_film_mm / 0.048


def growth_of_grain(film: str) -> float:
    """Return the power of density with which granularity grows from net 0.4 to 1.0."""
    return float(np.log(rms_from_a_print(film, 1.0) / rms_from_a_print(film, 0.4)) / np.log(1.0 / 0.4))


def size_off() -> float:
    """Return by what share a print's width is off, at the height that its lens's engraved focal length asks for; the worst."""
    off = []
    for lens, size in SIZE.items():
        head = "diffusion-sheet" if lens == "150-mm" else "diffusion-small"
        way, film = Way(head=head, lens=lens, magnification=size), patches(*(0.4,) * 20, *(0.8,) * 20, *(0.4,) * 20)
        height_mm = float(lens.removesuffix("-mm")) * (2.0 + size + 1.0 / size)
        record = way.record(film, way.exposure(way.f_number))
        sheet = way.print_of(film, replace(record, enlarger=replace(record.enlarger, height_mm=height_mm)), 4.0)
        row, middle = sheet.density[sheet.density.shape[0] // 2].astype(float), sheet.density.shape[1] // 2
        lighter = row < 0.5 * (row.max() + row[middle])  # the middle third of the film is denser than its neighbours
        pixels = int(np.argmin(lighter[middle:])) + int(np.argmin(lighter[middle::-1])) - 1
        off.append(pixels / sheet.grid.px_per_mm / (film.frame_mm[0] / 3.0 * size) - 1.0)
    return max(off, key=abs)


def formats_covered() -> int:
    """Return how many lenses print all of the format they are sold for, less those that print the next one too."""
    frames_mm = ((24.0, 36.0), (56.0, 56.0), (56.0, 84.0), (95.0, 120.0))
    lenses = list(SIZE)

    def prints(lens: str, frame_mm: tuple[float, float]) -> bool:
        way = Way(head="diffusion-sheet", lens=lens, magnification=max(SIZE[lens], 4.0) if lens == "50-mm" else SIZE[lens])
        film = patches(0.8, frame_mm=frame_mm)
        try:
            sheet = way.sheet(film, way.exposure(20.0), px_per_mm=0.5)
        except Refused:
            return False
        left, top, _, _ = sheet.frame_mm
        return spot_density(sheet, left + 3.0, top + 3.0, 2.0) > sheet.base_plus_fog

    own = sum(prints(lens, frame_mm) for lens, frame_mm in zip(lenses, frames_mm, strict=True))
    return own - sum(prints(lens, frame_mm) for lens, frame_mm in zip(lenses, frames_mm[1:], strict=False))


def _best_checks() -> list[Check]:
    return [
        Check(f"best aperture of the {lens} lens, stops from the widest", *between(0.75, 2.25),
              "one to two stops, a quarter for reading", "common practice", BEST_STOP.format("printers and makers"),
              ("lens faults x 0.3",), partial(best_stops_down, lens))
        for lens in WIDEST
    ]  # fmt: skip


TABLE = (
    *_best_checks(),
    Check("contrast of 10 lp/mm at f/16, hardest filter over softest",
          diffraction(445.0, 10.0, 151.5) / diffraction(540.0, 10.0, 151.5), 0.5,
          "bands, not two lines; never one wavelength for both", "follows from the spectra", COLOURS,
          ("lens sees no green",), sharper_in_blue),
    Check("contrast of 5 lp/mm without glass at f/8", *between(0.25, 0.75), "still seen by eye", "common practice",
          POPPED, ("popping x 2",), partial(popped_contrast, 8.0)),
    Check("contrast of 5 lp/mm without glass at f/2.8", *between(0.0, 0.25), "seen as unsharp", "common practice",
          POPPED, ("popping x 0.3",), partial(popped_contrast, 2.8)),
    Check("corner's loss at f/2.8 beyond f/11, stops", *between(0.3, 1.2), "usual lenses", "common practice", EVENED,
          ("lens rim x 0.3",), lambda: corner_stops(2.8) - corner_stops(11.0)),
    Check("lenses that cover the format they are sold for, and not the next", 4.0, 0.5, "each of the four",
          "common practice", COVERED, ("80 mm lens covers x 0.87",), formats_covered),
    Check("size of a print at the height that its lens asks for, worst of four lenses", 0.0, 0.02, "how lenses are engraved",
          "common practice", GAUSS, ("80 mm lens of 85 mm",), size_off),
    Check("power of density with which fast film's grain grows", *between(0.38, 0.52), "the law and the films, a little more",
          "from memory", NUTTING, ("grain's growth with density x 0.67",), partial(growth_of_grain, "fast")),
    Check("RMS granularity of fast film read from a print", *between(13.0, 19.0), "the films' range, a unit more",
          "from memory", SELWYN, ("granularity's aperture x 1.5",), partial(rms_from_a_print, "fast")),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_sharpness_is_as_published(check: Check) -> None:
    check.run()
