"""The projected negative on the easel: as the eye sees it, under the focusing loupe, and through the easel meter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.bench.desk import Desk
from sim.bench.desk_file import DeskFile
from sim.bench.lamp import Lamp
from sim.bench.piece import piece_of
from sim.bench.projection import Float32Array, Projector, light_at, light_tint
from sim.bench.tools import CardPose
from sim.control_ranges import CONTROLS
from sim.enlarger.easel import SheetGrid, film_coordinates, sheet_grid
from sim.enlarger.illuminance import eye_share, open_gate_lux
from sim.enlarger.lens_image import image_shift_mm
from sim.enlarger.settings import set_up
from sim.enlarger.spectra import per_lux
from sim.negative.negative import Place
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.flash import USUAL_DIMMED_STOPS
from sim.printing.record import PrintingRecord
from sim.printing.shadow_now import ShadowNow
from sim.quantities import factor_to_stops
from sim.refusals import Refused
from sim.viewing.easel_meter import paper_light, read_meter, time_that_keeps_tone
from sim.viewing.lightness import srgb_encoded
from sim.viewing.loupe import on_easel, seen_in_air, sharpness_at

Region = tuple[float, float, float, float]

MARGIN = 0.06  # of the sheet's longer side, shown around it
# How bright the projection looks to an eye used to the dark: film of density 0.35 at the usual level is white, and of a
# stop less light the
# eye sees a little less than half of the change (assumption).
USUAL_LUX, USUAL_WHITE, EYE_EXPONENT = 6.0, 2.2, 0.45
BLADES, BED = 0.10, 0.55  # reflectance of the easel's blades and of its bed beside a strip (assumption)
RED_SHARE = 0.2  # of the light that the swing filter passes, to the eye (assumption)
RED_TINT = (1.0, 0.16, 0.08)
LOW_BITS = int(np.float32(2.0**-16).view(np.int32)) >> 16
HIGH_BITS = int(np.float32(2.0).view(np.int32)) >> 16


@dataclass(frozen=True, eq=False)
class EaselPicture:
    """What the eye sees on the easel: grey values [row, col], where on the easel they lie, and the light's colour."""

    values: NDArray[np.uint8]
    region_mm: Region
    px_per_mm: float
    lit: bool
    tint: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class LoupeCrop:
    """A small piece under the loupe [row, col], and the lens's contrast (0-1) at 5 lp/mm there."""

    values: NDArray[np.uint8]
    px_per_mm: float
    contrast_5_lp_mm: float


GRAIN_LP_MM = 10.0  # on the print: finer than a picture's own detail, as fine as a focuser's grain (chosen)
EITHER_WAY_MM = 0.2  # of the ring: by so much out of focus the grain is seen to soften (chosen by eye, f/5.6 to f/8)
# Of the best contrast that focusing reaches there. Chosen about midway: far from focus contrast rises again, to 0.31 of it
# at most; half a fine notch of the ring beside the best leaves 0.83 of it at least (measured: 50 and 150 mm, f/2.8 to f/16).
CRISP_SHARE = 0.6
AROUND_FOCUS_MM = (-0.1, -0.05, -0.02, 0.0, 0.02, 0.05, 0.1)  # aberrations move the best off by 0.04 (measured)
DARK: NDArray[np.uint8] = np.zeros((), dtype=np.uint8)
Opened = tuple[SheetGrid, Region, Float32Array, float]  # grid and region of a picture, its light, lux of the open beam
Patch = tuple[slice, slice, NDArray[np.uint8]]  # rows and columns of a picture, and what is seen there


@dataclass(frozen=True)
class Metered:
    """The easel meter's reading: lux as the eye weighs light, and stops against the held place, by eye and by paper."""

    lux: float
    stops: float | None = None
    paper_stops: float | None = None


@dataclass(frozen=True)
class _Held:
    place: Place
    record: PrintingRecord
    lux: float
    paper_light: float


class EaselView:
    """The easel under the lens."""

    def __init__(self, desk: Desk, desk_file: DeskFile, lamp: Lamp, lights: LightCache):
        self._desk, self._desk_file, self._lamp, self._lights = desk, desk_file, lamp, lights
        self._projector, self._shadows = Projector(), ShadowNow()
        self._held: _Held | None = None
        self._surface: tuple[object, Float32Array] | None = None
        self._open: Opened | None = None  # the last picture's light, no card in it

    @property
    def lit(self) -> bool:
        """Tell whether the lamp shines on the easel."""
        return self._desk.now.focus_light or self._lamp.on

    def view_grid(self, size_px: tuple[int, int], region_mm: Region | None = None) -> tuple[SheetGrid, Region]:
        """Return the grid of a picture of the easel and the region it shows (grown to the picture's own shape)."""
        cols, rows = size_px
        if not (2 <= cols <= 4096 and 2 <= rows <= 4096):
            raise Refused(f"a picture must be 2 to 4096 px each way, got {size_px!r}")
        now = self._desk.now
        margin = MARGIN * max(now.sheet_width_mm, now.sheet_height_mm)
        left, top, width, height = region_mm or (
            -margin, -margin, now.sheet_width_mm + 2 * margin, now.sheet_height_mm + 2 * margin
        )  # fmt: skip
        px_per_mm = min(cols / width, rows / height)
        middle = (left + width / 2, top + height / 2)
        region = (middle[0] - cols / px_per_mm / 2, middle[1] - rows / px_per_mm / 2, cols / px_per_mm, rows / px_per_mm)
        shift = (
            now.sheet_width_mm / 2 + now.image_shift_x_mm - middle[0],
            now.sheet_height_mm / 2 + now.image_shift_y_mm - middle[1],
        )
        return SheetGrid(region[2], region[3], 0.0, px_per_mm, rows, cols, shift), region

    def picture(self, size_px: tuple[int, int], region_mm: Region | None = None) -> EaselPicture:
        """Return the easel as the eye sees it, no card over it (``shaded`` lays one there); dark when the lamp is off."""
        seen, opened = self._looked_at(size_px, region_mm)
        self._open = opened or self._open
        return seen

    def glance(self, size_px: tuple[int, int], region_mm: Region | None = None) -> EaselPicture:
        """Return the same as ``picture``, in passing: ``shaded`` goes on with the picture made before."""
        return self._looked_at(size_px, region_mm)[0]

    def _looked_at(self, size_px: tuple[int, int], region_mm: Region | None) -> tuple[EaselPicture, Opened | None]:
        """Return the easel as the eye sees it, and the light behind it where there is light."""
        grid, region = self.view_grid(size_px, region_mm)
        now = self._desk.now
        tint = RED_TINT if now.red_filter else light_tint(now.filtration)
        if not self.lit:
            return EaselPicture(np.zeros((grid.rows, grid.cols), dtype=np.uint8), region, grid.px_per_mm, False, tint), None
        bench = self._desk.bench
        light, lux = self._reflecting(grid, region), open_gate_lux(bench, now.f_number)
        if now.opal_sheet:  # even light, and none of the picture
            lux *= 2.0**-USUAL_DIMMED_STOPS
        else:
            view = self._projector.projected(self._desk.negative, bench, grid, now.f_number, now.time_s)
            light = light_at(view, bench, now.f_number) * light
        lux *= RED_SHARE if now.red_filter else eye_share(per_lux(bench.head.lamp), now.filtration)
        return EaselPicture(_seen(light.copy(), lux), region, grid.px_per_mm, True, tint), (grid, region, light, lux)

    def shaded(self, card: CardPose) -> Iterator[Patch]:
        """Yield the parts of the last picture that are otherwise with a card held over it, as the eye sees them now.

        Beside a tool the picture stays as it is; beside a hole all is dark, 0. Raises Refused before a picture was made.
        """
        if self._open is None:
            raise Refused("look at the easel first: there is no picture of it yet")
        grid, region, light, lux = self._open
        placed = card.card().placed(1.0, -region[0], -region[1])
        optics = self._desk.card_optics(self._desk.now.f_number)
        for rows, cols, lit in self._shadows.patches(placed, grid, optics):
            yield rows, cols, DARK if lit is None else _seen(light[rows, cols] * lit, lux)

    def _reflecting(self, grid: SheetGrid, region: Region) -> Float32Array:
        """Return what lies under the light: blades around the opening; in it paper, or the bed beside a strip."""
        now, piece = self._desk.now, piece_of(self._desk_file.now.hand)
        key = (grid, region, now.sheet_width_mm, now.sheet_height_mm, now.border_mm, piece)
        if self._surface is not None and self._surface[0] == key:
            return self._surface[1]
        x, y = region[0] + grid.x_mm, region[1] + grid.y_mm
        border = now.border_mm
        opening = (border, border, now.sheet_width_mm - border, now.sheet_height_mm - border)
        surface = np.full((grid.rows, grid.cols), BLADES, dtype=np.float32)
        surface[np.ix_(*_inside(x, y, opening))] = 1.0 if piece is None or piece.kind == "sheet" else BED
        if piece is not None and piece.kind == "strip":
            ends = (piece.x_mm, piece.y_mm, piece.x_mm + piece.width_mm, piece.y_mm + piece.height_mm)
            surface[np.ix_(*_inside(x, y, ends))] = 1.0
        self._surface = (key, surface)
        return surface

    def loupe(self, x_mm: float, y_mm: float, side_mm: float = 12.0, px: int = 240) -> LoupeCrop:
        """Return a small piece of the projection as under a focusing loupe, grain and blur included."""
        if not (1.0 <= side_mm <= 60.0 and 16 <= px <= 1200):
            raise Refused(f"the loupe shows 1 to 60 mm on 16 to 1200 px, got {side_mm!r} mm on {px!r} px")
        desk = self._desk
        record = desk.base_record()
        values = seen_in_air(on_easel(desk.negative, record, x_mm, y_mm, side_mm, px))
        return LoupeCrop(values, px / side_mm, sharpness_at(desk.negative, record, x_mm, y_mm))

    def grain_is_crisp(self, x_mm: float, y_mm: float) -> bool:
        """Tell whether the grain under a grain focuser is crispest as the ring stands.

        A little either way softens it, and it has a fair share of the contrast that focusing can reach there: a lens far out
        of focus has places, too, on either side of which contrast falls.
        """
        desk = self._desk
        record, stands_mm = desk.base_record(), desk.base_record().enlarger.focus_offset_mm
        limits = CONTROLS["focus_offset_mm"]

        def contrast(off_mm: float) -> float:
            turned = replace(record.enlarger, focus_offset_mm=limits.nearest(off_mm))
            return sharpness_at(desk.negative, replace(record, enlarger=turned), x_mm, y_mm, GRAIN_LP_MM)

        here = contrast(stands_mm)
        if here < max(contrast(stands_mm - EITHER_WAY_MM), contrast(stands_mm + EITHER_WAY_MM)):
            return False
        sharp_mm = self._sharp_ring_mm(record, x_mm, y_mm)
        return here >= CRISP_SHARE * max(contrast(sharp_mm + more) for more in AROUND_FOCUS_MM)

    def _sharp_ring_mm(self, record: PrintingRecord, x_mm: float, y_mm: float) -> float:
        """Return where the ring (mm from focus) would have to stand for the sharp image to lie on the paper at a point."""
        negative, sheet = self._desk.negative, record.sheet
        bench = set_up(record.enlarger, negative)
        shift_mm = (
            sheet.image_shift_mm[0] + sheet.width_mm / 2 - x_mm, sheet.image_shift_mm[1] + sheet.height_mm / 2 - y_mm
        )  # fmt: skip
        at = film_coordinates(sheet_grid(negative, bench, 1.0, 1.0, 0.0, shift_mm, 1.0), bench)
        above_mm = float(np.mean(image_shift_mm(at, bench, record.exposures[0].time_s, negative.frame_mm)))
        return record.enlarger.focus_offset_mm - above_mm / bench.magnification**2

    def _place(self, x_mm: float, y_mm: float, spot_mm: float) -> Place:
        left, top, width, height = self._desk.frame_mm
        x, y = (x_mm - left) / width, (y_mm - top) / height
        if not (0.0 <= x <= 1.0 and 0.0 <= y <= 1.0):
            raise Refused("the meter must stand in the picture, got a point beside it")
        return Place("the meter's place", x, y, spot_mm)

    def _read(self, place: Place, record: PrintingRecord) -> tuple[float, float]:
        """Return lux at a place, and light per second as the paper weighs it."""
        negative, stock = self._desk.negative, find_stock(record.sheet.paper)
        lux = read_meter(negative, record, place, self._lights).illuminance_lux
        return lux, paper_light(negative, record, place, stock, self._lights)

    def meter(self, x_mm: float, y_mm: float, spot_mm: float = 5.0) -> Metered:
        """Return the light at a point of the easel; no card is in it. Raises Refused beside the picture."""
        place, record = self._place(x_mm, y_mm, spot_mm), self._desk.base_record()
        lux, paper_light = self._read(place, record)
        held = self._held
        if held is None or min(lux, paper_light) <= 0.0:
            return Metered(lux)
        return Metered(lux, factor_to_stops(lux / held.lux), factor_to_stops(paper_light / held.paper_light))

    def hold_reference(self, x_mm: float, y_mm: float, spot_mm: float = 5.0) -> Metered:
        """Hold a place and its light: later readings are compared with it, and its tone can be kept."""
        place, record = self._place(x_mm, y_mm, spot_mm), self._desk.base_record()
        lux, paper_light = self._read(place, record)
        if min(lux, paper_light) <= 0.0:
            raise Refused("there must be light at the place to be held, got none")
        self._held = _Held(place, record, lux, paper_light)
        return Metered(lux, 0.0, 0.0)

    @property
    def reference(self) -> Metered | None:
        """The held reading, or None."""
        return Metered(self._held.lux, 0.0, 0.0) if self._held else None

    def drop_reference(self) -> None:
        """Let the held reading go."""
        self._held = None

    def time_that_keeps_tone(self) -> tuple[float, float]:
        """Return the time, and its ratio to the old one, that keeps the held place's tone with the set-up as it is now."""
        held, after = self._held, self._desk.base_record()
        if held is None:
            raise Refused("hold a place with the meter first; its tone is then kept")
        if after.negative != held.record.negative:
            raise Refused("the held place lies on another negative; hold one on this negative")
        stock = find_stock(after.sheet.paper)
        return time_that_keeps_tone(self._desk.negative, held.record, after, held.place, stock, self._lights)


def _inside(
    x: NDArray[np.float64], y: NDArray[np.float64], ends: Region
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    return np.flatnonzero((y > ends[1]) & (y < ends[3])), np.flatnonzero((x > ends[0]) & (x < ends[2]))


def _seen(light: Float32Array, lux: float) -> NDArray[np.uint8]:
    """Return what a dark-adapted eye sees of light relative to an open beam of so many lux (``light`` is overwritten)."""
    index = light.view(np.int32)
    np.right_shift(index, 16, out=index)
    index -= LOW_BITS
    values = np.empty(index.shape, dtype=np.uint8)
    np.take(_screen_of_light(lux), index, out=values, mode="clip")
    return values


@lru_cache(maxsize=8)
def _screen_of_light(lux: float) -> NDArray[np.uint8]:
    """Return screen values over the upper 16 bits of light relative to the open beam of so many lux."""
    bits = (np.arange(LOW_BITS, HIGH_BITS + 1, dtype=np.int64) << 16) + (1 << 15)
    relative = bits.astype(np.int32).view(np.float32).astype(np.float64)
    seen = USUAL_WHITE * (max(lux, 1e-6) / USUAL_LUX) ** EYE_EXPONENT * relative
    out = np.round(255.0 * srgb_encoded(seen)).astype(np.uint8)
    out[0] = 0
    return np.asarray(out)
