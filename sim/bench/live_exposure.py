"""One exposure under way: seconds of light that every point has had, and the print that would come of it, frame by frame.

The picture on the screen adds up the shadows as they are held; the record gets the hands' thinned path, and when the
lamp is off the engine's own average over that path stands for it. Reciprocity failure is left out of the live picture.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.bench.tools import CardPose, HandTracks
from sim.enlarger.settings import checked_aperture, set_up
from sim.negative.negative import Negative
from sim.paper.response import response_table
from sim.paper.stock import Stock
from sim.printing.cards import CardOptics, lit_share
from sim.printing.exposure import LightCache, PaperExposure, expose
from sim.printing.quick_view import TOTAL_LOW, TOTAL_SHIFT, QuickView, one_colour
from sim.printing.record import Card, Exposure, PrintingRecord, Still
from sim.printing.shadow_now import ShadowNow

Float32Array = NDArray[np.float32]
LOWEST = int(np.float32(TOTAL_LOW).view(np.int32)) >> TOTAL_SHIFT
BANDS = 2  # threads drawing a frame


class LiveExposure:
    """The lamp is on. ``record`` is the sheet so far (its exposures done), ``exposure`` the one begun, without hand cards."""

    def __init__(
        self, negative: Negative, before: PrintingRecord | None, record: PrintingRecord, stock: Stock, dead_s: float,
        moved_mm: tuple[float, float], at_mm: tuple[float, float], lights: LightCache,
    ):  # fmt: skip
        """``record`` holds one exposure, the one begun; ``before`` the same sheet with those done, or None."""
        self.negative, self.before, self.record, self.stock = negative, before, record, stock
        self.exposure: Exposure = record.exposures[0]
        self.elapsed_s = 0.0
        self.tracks = HandTracks(15 - len(self.exposure.cards))
        self._dead_s, self._moved, self._at, self._lights = dead_s, moved_mm, at_mm, lights
        self._history: list[tuple[float, float, tuple[Card, ...]]] = []
        self._map: _LiveMap | None = None
        self._shadows = ShadowNow()
        bench = set_up(record.enlarger, negative)
        pupil_mm = bench.lens.focal_mm / checked_aperture(bench.lens, self.exposure.f_number)
        self.optics = CardOptics(bench.lens_to_paper_mm, pupil_mm)

    @property
    def left_s(self) -> float:
        """Seconds until the timer switches the lamp off."""
        return max(0.0, self.exposure.time_s - self.elapsed_s)

    def advance(self, dt_s: float, poses: Sequence[CardPose]) -> bool:
        """Let so many seconds pass with the cards where they are; False once the time is up."""
        step = min(dt_s, self.left_s)
        if step > 0.0:
            for pose in poses:
                self.optics.shadow_scale(pose.card_height_mm)  # a card above the lens is refused before anything passes
            start = self.elapsed_s
            held = self.tracks.follow(start, start + step, poses)
            lit_s = max(0.0, min(step, start + step - self._dead_s))
            self._history.append((start, lit_s, held))
            self.elapsed_s = start + step
            if self._map is not None:
                self._map.add(lit_s, held)
        return self.left_s > 1e-9

    def finished(self) -> Exposure:
        """Return the exposure as it stands in the record: what time it lasted, and the cards' thinned paths."""
        time_s = round(self.elapsed_s, 3)
        dx, dy = self._at
        hand = tuple(card.placed(1.0, -dx, -dy) for card in self.tracks.cards(time_s))
        standing = tuple(within(card, time_s) for card in self.exposure.cards if card.start_s < time_s)
        return replace(self.exposure, time_s=time_s, cards=(*standing, *hand))

    def map(self, px_per_mm: float) -> _LiveMap:
        """Return the map of this exposure at a fineness; made (again) from what the hands did when it is new."""
        if self._map is None or abs(self._map.px_per_mm - px_per_mm) > 1e-9:
            self._map = _LiveMap(self, px_per_mm, self._lights, self._shadows, self._at, self._moved)
            for _, lit_s, held in self._history:
                self._map.add(lit_s, held)
        return self._map


def within(card: Card, time_s: float) -> Card:
    """Return a card taken out of the light when the lamp goes off, should it have been meant to stay longer."""
    return replace(card, stop_s=0.0) if card.stop_s >= time_s else card


class _LiveMap:
    """Seconds of light so far on the piece's own grid, and what they do to the paper."""

    def __init__(
        self, live: LiveExposure, px_per_mm: float, lights: LightCache, shadows: ShadowNow,
        at_mm: tuple[float, float], moved_mm: tuple[float, float],
    ):  # fmt: skip
        self.px_per_mm = px_per_mm
        self._live, self._shadows = live, shadows
        self._offset = (-at_mm[0] - moved_mm[0], -at_mm[1] - moved_mm[1])  # from the easel to the piece as it lies
        bare = replace(live.record, exposures=(replace(live.exposure, cards=(), light_s=1.0),), reciprocity=False)
        received = expose(live.negative, bare, live.stock, px_per_mm, lights)
        self.grid = received.grid
        self.weight = np.float32(response_table(live.stock.emulsion).green_weight)
        self.blue, self.total = self._planes(received)
        self.before: tuple[Float32Array, Float32Array] | None = None
        if live.before is not None:
            plain = replace(live.before, reciprocity=False)
            self.before = self._planes(expose(live.negative, plain, live.stock, px_per_mm, lights))
        self.seconds = np.zeros((self.grid.rows, self.grid.cols), dtype=np.float32)
        fixed = tuple(card.placed(1.0, *at_mm) for card in live.exposure.cards)
        self._fixed = self._standing(fixed) if fixed else None

    def _planes(self, received: PaperExposure) -> tuple[Float32Array, Float32Array]:
        """Return blue exposure and total as the table takes it, a trace added so that no ratio is lost."""
        blue, green = received.planes()
        return blue + np.float32(1e-12), blue + self.weight * green + np.float32(1e-12)

    def lit(self, cards: Sequence[Card]) -> Float32Array | None:
        """Return the share of light that cards (places on the easel) let through to the piece now."""
        return self._shadows.lit([card.placed(1.0, *self._offset) for card in cards], self.grid, self._live.optics)

    def _standing(self, cards: Sequence[Card]) -> Float32Array | None:
        """Return the share of the exposure that cards by numbers leave lit; moved ones as their average over the time."""
        if all(isinstance(card.motion, Still) and not card.start_s and not card.stop_s for card in cards):
            return self.lit(cards)
        placed = tuple(card.placed(1.0, *self._offset) for card in cards)
        return lit_share(placed, self.grid, self._live.optics, self._live.exposure.time_s)

    def add(self, lit_s: float, cards: Sequence[Card]) -> None:
        """Add so many seconds of light with the cards where they are."""
        lit = self.lit(cards)
        if lit is None and self._fixed is None:
            self.seconds += np.float32(lit_s)
            return
        share = lit if self._fixed is None else self._fixed if lit is None else lit * self._fixed
        assert share is not None
        self.seconds += np.float32(lit_s) * share

    @property
    def one_colour(self) -> float | None:
        """Total over blue when the whole sheet has had one colour of light, else None."""
        middle = (self.grid.rows // 2, self.grid.cols // 2)
        ratio = float(self.total[middle] / self.blue[middle])
        planes = [(self.blue, self.total), *([self.before] if self.before else [])]
        for blue, total in planes:
            lit = blue > 1e-9
            if lit.any() and float(np.abs(total[lit] / blue[lit] / ratio - 1.0).max()) > 1e-3:
                return None
        return ratio


class LivePrint:
    """Draws the print that a map would give, on two threads; keeps its tables as long as stock and map are the same."""

    def __init__(self) -> None:
        self._map: _LiveMap | None = None
        self._row: NDArray[np.uint8] | None = None
        self._quick: QuickView | None = None
        self._pool = ThreadPoolExecutor(BANDS)

    def picture(self, seconds_map: _LiveMap, quick: QuickView) -> NDArray[np.uint8]:
        """Return the piece as it would develop from the light it has had, 8-bit screen values [row, col]."""
        if seconds_map is not self._map or quick is not self._quick:
            ratio = seconds_map.one_colour
            self._row = None if ratio is None else one_colour(quick.response, quick.to_screen, ratio)
            self._map, self._quick = seconds_map, quick
            if self._row is None:
                _ = quick.table
        out = np.empty(seconds_map.seconds.shape, dtype=np.uint8)
        rows = np.linspace(0, out.shape[0], BANDS + 1).astype(int)
        bands = [slice(a, b) for a, b in itertools.pairwise(rows)]
        list(self._pool.map(lambda band: self._draw(seconds_map, quick, band, out), bands))
        return out

    def _draw(self, m: _LiveMap, quick: QuickView, band: slice, out: NDArray[np.uint8]) -> None:
        total = m.total[band] * m.seconds[band]
        if m.before is not None:
            total += m.before[1][band]
        if self._row is not None:
            index = total.view(np.int32)
            np.right_shift(index, TOTAL_SHIFT, out=index)
            index -= LOWEST
            np.take(self._row, index, out=out[band], mode="clip")
            return
        blue = m.blue[band] * m.seconds[band]
        if m.before is not None:
            blue += m.before[0][band]
        quick.table.fill(total, blue, out[band])
