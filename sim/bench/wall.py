"""The wall: the evening's prints and strips, looked at, measured and compared; and the ones that count."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.bench.comparing import PrintDifference, compare, fitted
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.real_sheet import tones_on_real_paper
from sim.bench.ring import RingPrint, ring_of
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.enlarger.easel import SheetGrid
from sim.evening.evening import Evening
from sim.negative.negative import Negative, Place
from sim.negative.sleeve import find_sleeve
from sim.notebook.record_words import changes
from sim.paper.stock import Stock, find_stock
from sim.printing.exposure import LightCache, expose, laid_out
from sim.printing.make_print import Print, frame_on_sheet, make_print, place_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.spot import spot_on
from sim.printing.strips import Step, strip_in
from sim.refusals import Refused
from sim.viewing.densitometer import read_place
from sim.viewing.lightness import lightness, reference_scale, screen_values
from sim.viewing.loupe import loupe
from sim.viewing.real_paper import RealTone
from sim.viewing.tone_reproduction import ToneReproduction, on_the_papers_curve, tone_reproduction

FloatArray = NDArray[np.float64]

PRINT_BYTES, PICTURE_BYTES = 64 * MEGABYTE, 16 * MEGABYTE  # two full sheets; what four windows show
LIGHT_BYTES = 32 * MEGABYTE  # of prints as large as a window shows them
COARSER = 0.75  # a picture that shows more than this of a sheet's own pixels per mm is made of the sheet itself


@dataclass(frozen=True)
class WallPrint:
    """A piece of paper on the wall."""

    number: int
    kind: Literal["sheet", "strip"]
    negative: str
    title: str
    width_mm: float
    height_mm: float
    minute: float
    nominated: bool
    developed: bool
    strip_steps: tuple[Step, ...]


@dataclass(frozen=True)
class PointReading:
    """The densitometer at a point: density, L*, and the nearest step of the reference scale (from 1) with its density."""

    density: float
    lightness: float
    nearest_step: int
    step_density: float


@dataclass(frozen=True)
class CurvePoint:
    """A named place of a print on the paper's curve: what light it had, and its density as the densitometer reads it."""

    place: str
    log_exposure: float
    density: float


@dataclass(frozen=True, eq=False)
class CurveData:
    """The paper's curve for a print's light and development, and where the print's places lie on it."""

    log_exposure: FloatArray
    density: FloatArray
    points: tuple[CurvePoint, ...]


class Wall:
    """All pieces of paper of the evening, made from their records when they are looked at."""

    def __init__(self, evening: Evening, negatives: DevelopedNegatives):
        self._evening, self._negatives = evening, negatives
        self._prints: KeptWithin[Print] = KeptWithin(PRINT_BYTES)
        self._pictures: KeptWithin[NDArray[np.uint8]] = KeptWithin(PICTURE_BYTES)
        self._elsewhere = LightCache(2, LIGHT_BYTES)  # of pictures made away from here: two at work never share one
        self.real_tones: dict[int, tuple[RealTone, ...]] = {}  # what sheets were found to be worth on real paper

    def record(self, number: int) -> PrintingRecord:
        """Return a sheet's record. Raises Refused for a number that is not on the wall."""
        sheets = self._evening.state.sheets
        if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(sheets):
            raise Refused(f"sheet must be one on the wall (1 to {len(sheets)}), got {number!r}")
        return sheets[number - 1].record

    def prints(self) -> tuple[WallPrint, ...]:
        """Return what hangs on the wall, oldest first."""
        state = self._evening.state
        out = []
        for made in state.sheets:
            sheet, strip = made.record.sheet, strip_in(made.record)
            steps = strip.steps if strip else ()
            title = find_sleeve(made.record.negative).title
            out.append(
                WallPrint(
                    made.number, sheet.kind, made.record.negative, title, sheet.width_mm, sheet.height_mm, made.minute,
                    made.number in state.nominated, made.record.development.time_s > 0.0, steps,
                )
            )  # fmt: skip
        return tuple(out)

    def sheet(self, number: int, wet: bool = False) -> Print:
        """Return a sheet as make_print makes it from its record; the last few are kept."""
        record = self.record(number)

        def made() -> Print:
            negative, stock = self._negatives.get(record.negative), find_stock(record.sheet.paper)
            return make_print(negative, record, stock, wet=wet, lights=self._evening.lights)

        return self._prints.keep((number, wet), made)

    def picture(self, number: int, size_px: tuple[int, int]) -> NDArray[np.uint8]:
        """Return a print as it looks in white light [row, col], fitting inside a size, its shape kept."""
        if not (8 <= size_px[0] <= 4096 and 8 <= size_px[1] <= 4096):
            raise Refused(f"a picture must be 8 to 4096 px each way, got {size_px!r}")
        return self._pictures.keep(
            (number, size_px), lambda: fitted(screen_values(self._seen(number, size_px).density), size_px)
        )

    def picture_maker(
        self, number: int, size_px: tuple[int, int], wet: bool = False, viewing_lux: float = 500.0
    ) -> Callable[[], NDArray[np.uint8]]:
        """Return what makes a print's picture in white light, as ``picture`` does, away from this bench."""
        record, kept = self.record(number), self._prints.get((number, wet))
        negative, stock, px_per_mm = self._laid_out_for(record, size_px)
        lights = self._elsewhere

        def made() -> NDArray[np.uint8]:
            seen = kept if kept is not None else make_print(negative, record, stock, px_per_mm, wet, lights)
            return fitted(screen_values(seen.density, viewing_lux), size_px)

        return made

    def _seen(self, number: int, size_px: tuple[int, int]) -> Print:
        """Return a sheet as finely as a picture of that size shows it, and no finer than the negative."""
        record = self.record(number)
        negative, stock, px_per_mm = self._laid_out_for(record, size_px)
        if (number, False) in self._prints or px_per_mm is None:
            return self.sheet(number)
        return make_print(negative, record, stock, px_per_mm, lights=self._evening.lights)

    def _laid_out_for(self, record: PrintingRecord, size_px: tuple[int, int]) -> tuple[Negative, Stock, float | None]:
        """Return what a picture of that size is made of, and how fine (px/mm); None: of the sheet's own pixels."""
        sheet, (negative, stock, grid) = record.sheet, self._laid_out(record)
        px_per_mm = min(size_px[0] / sheet.width_mm, size_px[1] / sheet.height_mm)
        return negative, stock, px_per_mm if px_per_mm <= COARSER * grid.px_per_mm else None

    def _laid_out(self, record: PrintingRecord) -> tuple[Negative, Stock, SheetGrid]:
        negative = self._negatives.get(record.negative)
        return negative, find_stock(record.sheet.paper), laid_out(negative, record)[1]

    def _spot(self, number: int, x_mm: float, y_mm: float, spot_mm: float) -> float:
        """Return the density of a spot, printed finely there and nowhere else."""
        record = self.record(number)
        negative, stock, grid = self._laid_out(record)
        spot = spot_on((grid.rows, grid.cols), *grid.pixel_of(x_mm, y_mm), 0.5 * spot_mm * grid.px_per_mm)
        rows, cols = (slice(int(at.min()), int(at.max()) + 1) for at in (spot.rows, spot.cols))
        piece = make_print(negative, record, stock, lights=self._evening.lights, piece=(rows, cols))
        return replace(spot, rows=spot.rows - rows.start, cols=spot.cols - cols.start).density(piece.density)

    def read(self, number: int, x_mm: float, y_mm: float, spot_mm: float = 3.0) -> PointReading:
        """Return what the densitometer reads at a point of a piece (mm from its top left corner)."""
        if not 0.2 <= spot_mm <= 50.0:
            raise Refused(f"the spot must be 0.2 to 50 mm, got {spot_mm!r}")
        density = self._spot(number, x_mm, y_mm, spot_mm)
        scale = reference_scale()
        light = float(lightness(density))
        step = int(np.abs(lightness(scale) - light).argmin())
        return PointReading(density, light, step + 1, float(scale[step]))

    def worth(self, number: int) -> Callable[[], tuple[RealTone, ...]]:
        """Return what works out, in a few seconds and away from this bench, how far a sheet's places may be off on real paper.

        It gives nothing for a piece on which no named place lies.
        """
        record = self.record(number)
        negative, stock = self._negatives.get(record.negative), find_stock(record.sheet.paper)

        def worked_out() -> tuple[RealTone, ...]:
            try:
                return tones_on_real_paper(negative, record, stock)
            except Refused:
                return ()

        return worked_out

    def ring(self, number: int, side_px: int) -> Callable[[], tuple[tuple[RingPrint, ...], ...]]:
        """Return what prints a sheet's ring-around, away from this bench. Raises Refused where it is called, in words."""
        record = self.record(number)
        negative, stock = self._negatives.get(record.negative), find_stock(record.sheet.paper)
        return lambda: ring_of(negative, record, stock, side_px)

    def reference_scale(self) -> tuple[float, ...]:
        """Return the densities of the reference step scale."""
        return tuple(round(float(d), 2) for d in reference_scale())

    def places(self, number: int) -> tuple[tuple[str, float, float, str], ...]:
        """Return the negative's named places that lie on a piece: name, x mm, y mm, what part they are."""
        return tuple((place.name, x, y, place.part) for place, (x, y) in self._on(self.record(number)).items())

    def _on(self, record: PrintingRecord) -> dict[Place, tuple[float, float]]:
        """Return the places that fall on the open part of a piece, and where: mm from its top left corner."""
        negative, _, grid = self._laid_out(record)
        fallen = {place: place_on_sheet(negative, record, place) for place in negative.places}
        return {place: at for place, at in fallen.items() if grid.is_open(*at)}

    def difference(self, a: int, b: int, size_px: tuple[int, int]) -> PrintDifference:
        """Compare two prints place by place of the picture, whatever their sizes. Raises Refused for two negatives."""
        one, two = self.record(a), self.record(b)
        if one.negative != two.negative:
            raise Refused("two prints can only be compared when they are of the same negative")
        return compare(self.sheet(a), self.sheet(b), size_px, changes(one, two))

    def same_place(self, number: int, other: int, x_mm: float, y_mm: float) -> tuple[float, float] | None:
        """Return the point of another print that shows what a point of one shows; None off its paper or for two negatives."""
        one, two = self.record(number), self.record(other)
        if one.negative != two.negative:
            return None
        negative = self._negatives.get(one.negative)
        (left, top, wide, high), there = frame_on_sheet(negative, one), frame_on_sheet(negative, two)
        x, y = there[0] + (x_mm - left) / wide * there[2], there[1] + (y_mm - top) / high * there[3]
        on = 0.0 <= x <= two.sheet.width_mm and 0.0 <= y <= two.sheet.height_mm
        return (x, y) if on else None

    def frame_mm(self, number: int) -> tuple[float, float, float, float]:
        """Return where the picture lies on a piece: left, top, width, height in mm."""
        record = self.record(number)
        return frame_on_sheet(self._negatives.get(record.negative), record)

    def loupe(
        self, number: int, x_mm: float, y_mm: float, side_mm: float, px: int, viewing_lux: float = 500.0
    ) -> NDArray[np.uint8]:
        """Return a square of a print as it looks under a loupe [row, col], with its grain. Raises Refused beside the paper."""
        record = self.record(number)
        negative, stock = self._negatives.get(record.negative), find_stock(record.sheet.paper)
        crop = loupe(negative, record, stock, x_mm, y_mm, side_mm, px / side_mm)
        return screen_values(crop.density, viewing_lux)

    def on_curve(self, number: int, x_mm: float, y_mm: float, spot_mm: float = 3.0) -> CurvePoint:
        """Return where a point of a print lies on the paper's curve: the light it had, and what the densitometer reads."""
        record, sheet = self.record(number), self.sheet(number)
        negative, stock = self._negatives.get(record.negative), find_stock(record.sheet.paper)
        blue, _ = expose(negative, record, stock, None, self._evening.lights).planes()
        light = sheet.spot(x_mm, y_mm, spot_mm).mean(blue)
        return CurvePoint("", float(np.log10(max(light, 1e-9))), self._spot(number, x_mm, y_mm, spot_mm))

    @property
    def nominated(self) -> tuple[int, ...]:
        """The sheets that count."""
        return self._evening.state.nominated

    def nominate(self, *numbers: int) -> None:
        """Name the sheets that count. Raises Refused in words."""
        self._evening.nominate(*numbers)

    def curve(self, number: int) -> CurveData:
        """Return the paper's curve for this print's light, and the print's named places on it."""
        record, sheet = self.record(number), self.sheet(number)
        negative, stock = self._with_places_on(record), find_stock(record.sheet.paper)
        paper, logs = on_the_papers_curve(negative, record, stock, sheet, self._evening.lights)
        read = [(place.name, read_place(sheet, place)) for place in negative.places]
        points = tuple(CurvePoint(name, log, density) for (name, density), log in zip(read, logs, strict=True))
        return CurveData(paper.log_exposure, paper.density, points)

    def tone_chain(self, number: int) -> ToneReproduction:
        """Return the four quadrants of a print. Raises Refused for a scan, whose scene was never measured."""
        record, sheet = self.record(number), self.sheet(number)
        sleeve = find_sleeve(record.negative)
        if sleeve.scan is not None or not sleeve.scene:
            raise Refused("a scan has no scene to compare the print with")
        stock, lights = find_stock(record.sheet.paper), self._evening.lights
        return tone_reproduction(sleeve, self._with_places_on(record), record, stock, sheet, lights)

    def _with_places_on(self, record: PrintingRecord) -> Negative:
        """Return the negative with those of its places that fall on a piece."""
        return replace(self._negatives.get(record.negative), places=tuple(self._on(record)))
