"""What the eye sees on the easel: kept, and made anew only when something was moved or a card is in the light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from pygame import Surface

from sim.bench.darkroom import Darkroom
from sim.bench.tools import CardPose
from sim.window.kit.picture import LivePicture, scaled
from sim.window.things.easel_plan import EaselPlan

IN_MOTION_S, SETTLED_S = 0.3, 0.12  # moved again within the first: in motion; standing for the second: seen finely
WELL_SEEN = 185.0  # screen value of the lights of a projection that is easily seen
ADAPTED_SHARE = 0.7
LAMP_WHITE = (1.0, 0.94, 0.83)  # a filament seen by an eye used to the safelight (chosen by eye)
IN_SHADOW = (30.0, 16.0, 7.0)  # what the safelight leaves to see where the lamp does not reach (chosen by eye)
MOST_PX = 1_500_000  # a finer picture is drawn from one of so many points: what moves must follow the hand
Tint = tuple[float, float, float]


class EaselPicture:
    """The last picture of the easel. ``coarse`` while head or ring move. A card in the light changes only what it shades."""

    def __init__(self) -> None:
        self.surface: Surface | None = None
        self.coarse = False
        self._live: LivePicture | None = None
        self._bare: NDArray[np.uint32] | None = None  # the same without a card
        self._shaded: list[tuple[slice, slice]] = []
        self._dark = False  # beside a hole
        self._key: object = None
        self._poses: tuple[CardPose, ...] = ()
        self._stands: object = None
        self._stood_s = 1.0
        self._table: tuple[object, NDArray[np.uint32]] | None = None
        self.tint: Tint = (1.0, 1.0, 1.0)

    def update(self, darkroom: Darkroom, plan: EaselPlan, poses: tuple[CardPose, ...], dt_s: float) -> bool:
        """Look at the easel again where something was moved; returns whether the picture changed."""
        self._stood_s += dt_s
        if not darkroom.easel.lit:
            shown, self.surface, self._key = self.surface, None, None
            return shown is not None
        now = darkroom.desk.now
        stands = (now.height_mm, now.ring_mm, now.image_shift_x_mm, now.image_shift_y_mm)
        moved, self._stands = stands != self._stands, stands
        moving = moved and self._stood_s < IN_MOTION_S
        if moved:
            self._stood_s = 0.0
        key = (now, darkroom.paper.piece, plan.view.size, plan.region_mm)
        anew = key != self._key or (self.coarse and self._stood_s > SETTLED_S)
        if not anew and poses == self._poses:
            return False
        if anew:
            self._key = key
            self._look(darkroom, plan, moving and not poses)
        self._poses = poses
        self._shade(darkroom, poses)
        if self._live is not None:
            self.surface = scaled(self._live.surface, plan.view.size)
        return True

    def _look(self, darkroom: Darkroom, plan: EaselPlan, coarse: bool) -> None:
        size, most = plan.view.size, MOST_PX // (4 if coarse else 1)
        share = min(1.0, (most / max(1, size[0] * size[1])) ** 0.5)
        made = (max(2, int(size[0] * share)), max(2, int(size[1] * share)))
        self.coarse = coarse
        seen = darkroom.easel.picture(made, plan.region_mm)
        self.tint = seen.tint
        known = (seen.tint, darkroom.desk.now, coarse)
        if self._table is None or self._table[0] != known:
            self._table = (known, light_table_of(seen.tint, adapted(seen.values)))
        if self._live is None or self._live.surface.get_size() != made:
            self._live = LivePicture(*made)
        np.take(self._table[1], seen.values, out=self._live.pixels, mode="clip")
        self._bare, self._shaded, self._dark = self._live.pixels.copy(), [], False

    def _shade(self, darkroom: Darkroom, poses: tuple[CardPose, ...]) -> None:
        """Give back the light where the card was, and take it where it is now; beside a hole all is dark."""
        live, bare, table = self._live, self._bare, self._table
        if live is None or bare is None or table is None:
            return
        hole = any(pose.tool.lets_through == "inside" for pose in poses)
        if hole != self._dark:
            self._dark, self._shaded = hole, [(slice(None), slice(None))]
        for rows, cols in self._shaded:
            live.pixels[rows, cols] = table[1][0] if hole else bare[rows, cols]
        self._shaded = []
        for pose in poses:
            for rows, cols, values in darkroom.easel.shaded(pose):
                live.pixels[rows, cols] = table[1].take(values)
                self._shaded.append((rows, cols))


def adapted(values: NDArray[np.uint8]) -> float:
    """Return how much brighter a dark picture seems to an eye that has got used to it: most of the way, in logarithms.

    Behind a hard filter the projection is so dim that nobody could place a strip by it otherwise (assumption, for looking).
    """
    brightest = float(np.percentile(values[::6, ::6], 99.0))
    return float(np.clip((WELL_SEEN / max(brightest, 1.0)) ** ADAPTED_SHARE, 1.0, 4.0))


def as_seen(tint: Tint) -> Tint:
    """Return a filter's colour as an eye takes it: magenta dyes pass all of the red beyond the band that ``tint`` measures.

    Where green is held back and blue passes, red passes as well as blue (magenta filters for paper, common knowledge); only
    for looking: paper sees no red.
    """
    red, green, blue = tint
    return (max(red, blue), green, blue) if green < 0.9 * blue else tint


def light_table_of(tint: Tint, gain: float = 1.0) -> NDArray[np.uint32]:
    """Return 256 screen colours of the lamp's light, from none, where only the safelight falls, to the open beam.

    Of a filter's colour the adapted eye sees about half (assumption); red light stays red.
    """
    tint = as_seen(tint)
    red = tint[0] > 2.0 * tint[1] and tint[0] > 2.0 * tint[2]
    shares = tint if red else (tint[0] ** 0.5, tint[1] ** 0.5, tint[2] ** 0.5)
    lamp = np.array([share * white for share, white in zip(shares, LAMP_WHITE)])
    part = np.minimum(1.0, gain * np.arange(256)[:, None] / 255.0)
    colours = np.rint(lamp * 255.0 * part + np.array(IN_SHADOW) * (1.0 - part) ** 2).astype(np.uint32).clip(0, 255)
    return np.asarray(colours[:, 2] + 256 * colours[:, 1] + 65536 * colours[:, 0]).astype(np.dtype("<u4"))


def crop_tint(tint: Tint) -> tuple[int, int, int]:
    """Return the colour of the lamp's light under a loupe."""
    red, green, blue = (round(255 * share**0.5 * white) for share, white in zip(as_seen(tint), LAMP_WHITE))
    return red, green, blue
