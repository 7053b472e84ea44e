"""What cards left on a print: how much of their work the areas got, rims that the eye finds, and texture that went.

All of it is worked out on a coarse sheet (a millimetre a pixel) that holds the light of every exposure and the share of it
that the cards let through, whether whole prints are judged or places only: so both read the same.

A rim is looked for as the eye finds one: a point is compared with its surroundings, in L*, and only the cards' part of the
difference counts, for the light of the picture stays the point's own. What the picture itself shows there hides as much
(contrast masking). A card that wandered fades over 10 to 30 mm and differs from its surroundings by about one L*; one
held still has a rim of the lens's penumbra, some four millimetres, and differs by several.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, laid_out
from sim.printing.make_print import points_on_sheet
from sim.printing.place_model import PlaceModel
from sim.printing.place_print import Points
from sim.printing.record import PrintingRecord
from sim.printing.tone_tables import plane_densities
from sim.quantities import FloatArray
from sim.scoring.burn_stops import is_burn
from sim.scoring.place_areas import area_points
from sim.viewing.lightness import lightness

PITCH_MM = 1.5
MOST_PX = 120_000  # a larger sheet is looked at from further away: its pixels grow with it
# The eye's surroundings at reading distance (0.4 m): sensitivity falls below some 1-3 cycles a degree (Campbell & Robson
# 1968, from memory), half a period of which is 1.2-3.5 mm on the print.
SURROUND_MM = 3.0
TONES_OF_A_SPOT = 16
TEXTURE_OVER_MM = 6.0  # texture hides what lies within about a degree of it (common practice: edges hide in what is busy)
MASKED_SHARE = 0.4  # of its contrast that texture hides: contrast masking is of this order (Legge & Foley 1980, from memory)
STEP_PER_LIGHTNESS = 0.04  # density: an L* from its surroundings is a sharp step of two L* seen from one side, 50 L* a unit
RIM_AREA_MM2 = 20.0  # so much must show; the 3 mm wide rim of the smallest card has more
RIM_PER_LOST_SHARE = 10.0
TEXTURE_SEEN, TEXTURE_GONE = 1.0, 0.35  # L*: what is just seen beside each other, and what nobody sees
WHITE_NET, BLACK_SHARE = 0.02, 0.97  # of the paper: where nothing stands out of white or black any more


def has_cards(record: PrintingRecord) -> bool:
    """Tell whether any card was in the light of a whole sheet (a strip is laid with cards, which are no card work)."""
    return record.sheet.kind == "sheet" and any(exposure.cards for exposure in record.exposures)


class CardTraces:
    """What the cards of one record did, all over its sheet."""

    def __init__(self, negative: Negative, record: PrintingRecord, stock: Stock, lights: LightCache):
        self.negative, self.record, self.stock, self.lights = negative, record, stock, lights
        self._changes: dict[Place, float] = {}
        sheet = record.sheet
        self.pitch_mm = max(PITCH_MM, float(np.sqrt(sheet.width_mm * sheet.height_mm / MOST_PX)))
        _, self.grid = laid_out(negative, record, 1.0 / self.pitch_mm)
        rows, cols = self._window
        at = np.mgrid[rows, cols].astype(np.intp)
        self.shape = at.shape[1:]
        points = Points(at[0].ravel(), at[1].ravel(), np.arange(at[0].size, dtype=np.intp), np.ones(at[0].size))
        self.model = PlaceModel(negative, record, stock, points, lights, 1.0 / self.pitch_mm)
        self.response = Response(stock, record.development)

    @cached_property
    def _window(self) -> tuple[slice, slice]:
        """Rows and columns of the picture on the open sheet."""
        corners = self._on_sheet(np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]]))
        sides = []
        for open_px, at in zip(self.grid.open_window(), self.grid.pixel_of(*corners.T), strict=True):
            low, high = float(at.min()), float(at.max())
            start, stop = max(open_px.start, int(np.ceil(low))), min(open_px.stop, int(np.floor(high)) + 1)
            sides.append(slice(start, max(stop, start + 1)))
        return sides[0], sides[1]

    def change(self, place: Place) -> float:
        """Return by how much the cards moved a place's tone, in density: the middle one of what they gave its area.

        The place's own light is given what the cards let through at each point of the area, and the change is taken against
        no cards at all. (Not density against density: an area's tones differ, and the same card moves each by another step.)
        """
        if place not in self._changes:
            self._changes[place] = self._median_change(place)
        return self._changes[place]

    def _median_change(self, place: Place) -> float:
        area = self._at(area_points(self.negative, place))
        area = area if len(area) else self._at(np.array([[place.x, place.y]]))
        given = np.array([ray.lit[area] for ray in self.model.rays])  # [exposure, point]
        kinds = np.unique(np.concatenate([np.array(self._no_cards)[:, None], given], axis=1), axis=1)
        if kinds.shape[1] == 1:  # no card reached it
            return 0.0
        bare = replace(self.record, exposures=tuple(replace(e, cards=()) for e in self.record.exposures))
        spot = PlaceModel(self.negative, bare, self.stock, (place,), self.lights, tones=TONES_OF_A_SPOT)
        rates = spot.as_given()

        lit = np.concatenate([given, np.array(self._no_cards)[:, None]], axis=1)  # the last without any card
        seconds = [ray.seconds * shares[:, None] for ray, shares in zip(spot.rays, lit, strict=True)]
        reads = spot.points.means(spot.densities_of(rates, seconds))[:, 0]
        return float(np.median(reads[:-1]) - reads[-1])

    def _on_sheet(self, points: FloatArray) -> FloatArray:
        """Return where points of the frame (fractions of it) fall on the sheet: mm from its corner [point, axis]."""
        return points_on_sheet(self.negative, self.record, points)

    def _at(self, points: FloatArray) -> NDArray[np.intp]:
        """Return the pixels nearest to points of the frame, those off the open sheet left out."""
        row, col = self.grid.pixel_of(*self._on_sheet(points).T)
        rows, cols = self._window
        row, col = np.round(row).astype(np.intp) - rows.start, np.round(col).astype(np.intp) - cols.start
        on = (row >= 0) & (row < self.shape[0]) & (col >= 0) & (col < self.shape[1])
        return np.asarray(row[on] * self.shape[1] + col[on], dtype=np.intp)

    def _picture(self, given: Sequence[FloatArray | float]) -> FloatArray:
        """Return the density of every pixel whose exposures were let through as ``given``, by the paper's table."""
        model = self.model
        seconds = [ray.seconds * lit for ray, lit in zip(model.rays, given, strict=True)]
        blue, green = (
            model.law.at_places([rate[part] for rate in self._rates], seconds) + model.even[part] for part in (0, 1)
        )
        blue_px, green_px = (plane.astype(np.float32).reshape(self.shape) for plane in (blue, green))
        return plane_densities(blue_px, green_px, self.response).astype(np.float64)

    @cached_property
    def _rates(self) -> list[tuple[FloatArray, FloatArray]]:
        return self.model.as_given()

    @cached_property
    def plain(self) -> FloatArray:
        """Density of every pixel were there no card: tools away, burns left out [row, col]."""
        return self._picture(self._no_cards)

    @property
    def _no_cards(self) -> list[float]:
        exposures = self.record.exposures
        return [0.0 if is_burn(exposure, k) else 1.0 for k, exposure in enumerate(exposures)]

    @cached_property
    def worked(self) -> FloatArray:
        """Density of every pixel as printed [row, col]."""
        return self._picture([ray.lit for ray in self.model.rays])

    @cached_property
    def texture(self) -> FloatArray:
        """How much each part of the plain print differs from its surroundings, in L* [row, col]."""
        return self._texture_of(self.plain)

    def _texture_of(self, density: FloatArray) -> FloatArray:
        tone = lightness(density)
        return np.sqrt(self._blurred(np.square(tone - self._blurred(tone, SURROUND_MM)), TEXTURE_OVER_MM))

    def _blurred(self, picture: FloatArray, mm: float) -> FloatArray:
        from scipy.ndimage import gaussian_filter

        return np.asarray(gaussian_filter(picture, mm / self.pitch_mm, mode="nearest"))

    @cached_property
    def rim(self) -> float:
        """How much of a rim is seen: as dark as a sharp step of that density in an even middle grey would be seen."""
        around = [self._blurred(ray.lit.reshape(self.shape), SURROUND_MM).ravel() for ray in self.model.rays]
        off = np.abs(lightness(self.worked) - lightness(self._picture(around)))
        seen = np.sort(np.maximum(off - MASKED_SHARE * self.texture, 0.0), axis=None)
        count = min(max(1, round(RIM_AREA_MM2 / self.pitch_mm**2)), len(seen))
        return float(STEP_PER_LIGHTNESS * seen[-count])

    @cached_property
    def lost(self) -> float:
        """Share of the picture whose texture the cards pushed into paper white or full black."""
        completed = Response(self.stock, Development(self.stock.development.completion_time_s))
        white = self.response.base_plus_fog
        ends = (self.worked < white + WHITE_NET) | (self.worked > white + BLACK_SHARE * (completed.black - white))
        gone = (self.texture > TEXTURE_SEEN) & (self._texture_of(self.worked) < TEXTURE_GONE)
        return float(np.mean(ends & gone))

    @property
    def seen(self) -> float:
        """What shows that a card was there: the rim, or lost texture (a hundredth of the picture as bad as a rim of 0.1)."""
        return max(self.rim, RIM_PER_LOST_SHARE * self.lost)
