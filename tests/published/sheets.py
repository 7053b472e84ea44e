"""Small prints as a tester makes them, and what a densitometer reads on them.

Everything goes through make_print. Densities come from a spot on the sheet, paper white from under the easel blades;
exposures are known from the light given. Nothing is asked of the paper's own curve.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import Card, Exposure, PrintingRecord, Sheet, Still
from sim.viewing.densitometer import spot_density

from .checks import kept

FloatArray = NDArray[np.float64]

BORDER_MM = 6.0
SPEED_POINT = 0.60


@lru_cache(maxsize=64)
def patches(
    *densities: float, base: float = 0.0, stain: float = 0.0, frame_mm: tuple[float, float] = (24.0, 36.0)
) -> Negative:
    """Return a negative of upright bands of even density, eight pixels wide each."""
    row = np.repeat(np.array(densities, dtype=np.float32), max(8, 40 // len(densities)))
    silver = np.broadcast_to(row, (round(len(row) * frame_mm[1] / frame_mm[0]), len(row))).copy()
    return Negative("patches", silver, base, frame_mm, stain_share=stain)


@dataclass(frozen=True)
class Way:
    """How a sheet is printed; every field is one decision at the enlarger or in the tray."""

    stock: str = "glossy-rc-vc"
    filtration: FilterSetting = field(default_factory=lambda: FilterSetting("2"))
    head: str = "diffusion-small"
    lens: str = "50-mm"
    magnification: float = 4.0
    f_number: float = 8.0
    contact: bool = False
    carrier: str = "glass"
    focused: str = "warm"
    paper_mm: tuple[float, float] | None = None
    develop_s: float | None = None
    temperature_c: float = 20.0
    safelight: Safelight | None = None
    reciprocity: bool = False
    voltage_share: float = 1.0
    strength: float = 1.0
    sheets_before: float = 0.0

    def record(self, negative: Negative, *exposures: Exposure) -> PrintingRecord:
        """Return the printing record of a sheet just larger than the image, white under the blades."""
        scale = 1.0 if self.contact else self.magnification
        width, height = self.paper_mm or tuple(max(side * scale, 22.0) + 2 * BORDER_MM for side in negative.frame_mm)
        focal_mm = find_lens(self.lens).focal_mm
        settings = EnlargerSettings(
            self.head, self.lens, height_for_magnification_mm(focal_mm, self.magnification),
            carrier=self.carrier, focused=self.focused, contact=self.contact, lamp_voltage_share=self.voltage_share,
        )  # fmt: skip
        completion_s = find_stock(self.stock).development.completion_time_s
        development = Development(
            self.develop_s or completion_s, self.temperature_c, self.sheets_before, self.strength
        )  # fmt: skip
        return PrintingRecord(
            negative.name, Sheet(self.stock, width, height, BORDER_MM), settings, exposures, development,
            self.safelight, self.reciprocity,
        )  # fmt: skip

    def exposure(self, light_s: float, *cards: Card, time_s: float | None = None) -> Exposure:
        """Return an exposure of so many seconds of full light."""
        return Exposure(time_s or min(max(light_s, 0.1), 600.0), self.f_number, self.filtration, cards, light_s)

    def sheet(
        self, negative: Negative, *exposures: Exposure, wet: bool = False, px_per_mm: float | None = None
    ) -> Print:
        """Return the print."""
        return self.print_of(negative, self.record(negative, *exposures), px_per_mm, wet)

    def print_of(
        self, negative: Negative, record: PrintingRecord, px_per_mm: float | None = None, wet: bool = False
    ) -> Print:
        """Return the print of a record on this way's paper."""
        return make_print(negative, record, find_stock(self.stock), px_per_mm, wet)


def with_filter(way: Way, name: str | None) -> Way:
    """Return a way of printing behind another filter of the graded set (None: no filter)."""
    return replace(way, filtration=FilterSetting(name))


def white(sheet: Print) -> float:
    """Return the density of paper white, read under the easel blade."""
    return spot_density(sheet, BORDER_MM / 2, sheet.grid.height_mm / 2, 1.0)


def band(sheet: Print, index: int = 0, count: int = 1, spot_mm: float = 1.0) -> float:
    """Return the density in the middle of one of so many upright bands."""
    left, top, width, height = sheet.frame_mm
    return spot_density(sheet, left + (index + 0.5) / count * width, top + height / 2, spot_mm)


def net(sheet: Print, index: int = 0, count: int = 1) -> float:
    """Return a band's density above paper white."""
    return band(sheet, index, count) - white(sheet)


def light_for(read: Callable[[float], float], target: float, low_s: float = 0.02, high_s: float = 2000.0) -> float:
    """Return the seconds of light for which a reading that grows with light reaches a target."""
    from scipy.optimize import brentq

    low, high = np.log(low_s), np.log(min(high_s, 590.0))
    return float(np.exp(brentq(lambda x: read(float(np.exp(x))) - target, low, high, xtol=1e-4)))


def light_for_net(way: Way, negative: Negative, target: float = SPEED_POINT, index: int = 0, count: int = 1) -> float:
    """Return the seconds of light that print a band to a density above white."""
    return light_for(lambda s: net(way.sheet(negative, way.exposure(s)), index, count), target)


# --- a fine wedge under glass: the paper's curve as a tester draws it ---

WEDGE_STEP, WEDGE_STEPS = 0.025, 141


@lru_cache(maxsize=1)
def fine_wedge() -> Negative:
    """Return a wedge of density 0 to 3.5 in small steps, each half a millimetre wide."""
    row = np.repeat(np.arange(WEDGE_STEPS, dtype=np.float32) * np.float32(WEDGE_STEP), 2)
    return Negative("fine-wedge", np.broadcast_to(row, (40, len(row))).copy(), 0.0, (len(row) / 4.0, 10.0))


def under_glass(way: Way) -> Way:
    """Return the way for contact printing the wedge: no lens flare, no blur, diffuse density whatever the head."""
    small = way.head.endswith("-small")
    lens, size, aperture = ("50-mm", 8.0, 2.8) if small else ("150-mm", 3.6, 5.6)
    return replace(way, contact=True, lens=lens, magnification=size, f_number=aperture)


@dataclass(frozen=True)
class PrintedCurve:
    """Density above white against log10 seconds of light, read from a printed wedge."""

    log_light: FloatArray
    net_density: FloatArray
    net_dmax: float

    def at(self, net_density: float) -> float:
        """Return the log exposure of a density above white."""
        rising = np.concatenate([[True], np.diff(self.net_density) > 1e-7])
        return float(np.interp(net_density, self.net_density[rising], self.log_light[rising]))

    def iso_range(self) -> float:
        """Return R: 100 times the log exposure from 0.04 to nine tenths of the deepest black, both above white."""
        return 100.0 * (self.at(0.9 * self.net_dmax) - self.at(0.04))

    def span(self, low: float, high: float) -> float:
        """Return the log exposure between two densities above white."""
        return self.at(high) - self.at(low)

    def slope(self, net_density: float, half: float = 0.05) -> float:
        """Return the local gradient around a density above white."""
        half = min(half, 0.6 * net_density)
        return 2 * half / self.span(net_density - half, net_density + half)


@kept
def printed_curve(way: Way) -> PrintedCurve:
    """Return the curve read from a wedge printed in contact, and the black of forty times the light."""
    glass, wedge = under_glass(way), fine_wedge()
    light_s = 10.0
    for _ in range(3):  # bring the speed point to density 1.6 of the wedge, so that both ends lie on it
        sheet = glass.sheet(wedge, glass.exposure(light_s))
        densities = np.array([band(sheet, k, WEDGE_STEPS, 0.2) for k in range(WEDGE_STEPS)]) - white(sheet)
        middle = np.interp(-SPEED_POINT, -densities, np.arange(WEDGE_STEPS) * WEDGE_STEP)
        if abs(middle - 1.6) < 0.2:
            break
        light_s *= float(10.0 ** (1.6 - middle))
    bare = glass.sheet(wedge, glass.exposure(min(light_s * 40.0, 600.0)))
    black = band(bare, 1, WEDGE_STEPS, 0.2) - white(bare)
    log_light = np.log10(light_s) - np.arange(WEDGE_STEPS) * WEDGE_STEP
    return PrintedCurve(log_light[::-1], densities[::-1].astype(np.float64), black)


def shade(x_mm: float, **more: object) -> Card:
    """Return a card lying on the paper that covers everything left of a line."""
    return Card("edge", Still(x_mm, 0.0), 1.0, angle_deg=180.0, **more)  # type: ignore[arg-type]
