"""The easel under the lens: what the eye sees there, the probe of the meter, the loupe, paper and cards over it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect

from sim.refusals import Refused
from sim.viewing.plain_names import plain_name
from sim.window.dry import easel_drawing as drawing
from sim.window.dry.card_drawing import DrawnCard, draw_card
from sim.window.dry.easel_control import EaselBoard
from sim.window.dry.easel_plan import EaselPlan, easel_plan
from sim.window.dry.hand import HeldCard
from sim.window.dry.loupe_drawing import draw_loupe
from sim.window.dry.part import Part
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import LivePicture, grey_surface, scaled

LOUPE_PX = 176
IN_MOTION_S, SETTLED_S = 0.3, 0.12  # moved again within the first: in motion; standing for the second: seen finely
WELL_SEEN = 185.0  # screen value of the lights of a projection that is easily seen
ADAPTED_SHARE = 0.7
NEAR_MM = 7.0  # the probe names a place of the picture when it stands so near
LAMP_WHITE = (1.0, 0.94, 0.83)  # a filament seen by an eye used to the safelight (chosen by eye)
IN_SHADOW = (30.0, 16.0, 7.0)  # what the safelight leaves to see where the lamp does not reach (chosen by eye)


class EaselPart(Part):
    """Keeps the last picture of the easel; it is made anew only when something was moved, or while cards are in the light."""

    def build(self) -> None:
        """Make the board."""
        self.board = self.add(EaselBoard(self, self.words("Easel")))
        self.loupe_on = False
        self.probe_mm: tuple[float, float] = (0.0, 0.0)
        self._live: LivePicture | None = None
        self._key: object = None
        self._read_key: object = None
        self._stands: object = None
        self._coarse, self._stood_s = False, 1.0
        self._tint: tuple[object, Any] = (None, None)
        self.reading: tuple[str, ...] = ()
        self.crop: tuple[pygame.Surface, str] | None = None
        self.plan: EaselPlan = easel_plan(self.look, Rect(0, 0, 100, 100), (100.0, 100.0))

    @property
    def sheet_mm(self) -> tuple[float, float]:
        """Width and height of the sheet that the easel is set for."""
        now = self.darkroom.desk.now
        return now.sheet_width_mm, now.sheet_height_mm

    def layout(self, rect: Rect) -> None:
        """Stand as large as the sheet's shape allows."""
        self.rect = rect
        self.refresh()

    def refresh(self) -> None:
        """Follow a new size of paper."""
        self.plan = easel_plan(self.look, self.rect, self.sheet_mm)
        self.board.rect = self.plan.board

    def forget(self) -> None:
        """Something happened that the key does not know of: look again."""
        self._key = self._read_key = None

    def update(self, dt_s: float) -> None:
        """Look at the easel again where something was moved; this is where pictures are made, never in drawing."""
        room, hands, lamp = self.darkroom, self.screen.hands, self.screen.lamp
        size = self.plan.view.size
        if self._live is None or self._live.surface.get_size() != size:
            self._live, self._key = LivePicture(*size), None
        poses = hands.poses(lamp.elapsed_s) if room.easel.lit else ()
        key = (room.desk.now, room.paper.piece, room.easel.lit, self.plan.region_mm, poses)
        self._stood_s += dt_s
        if key != self._key:
            self._key = key
            self._look(poses, self._moving() and not poses)
        elif self._coarse and self._stood_s > SETTLED_S:
            self._look(poses, False)
        if self._coarse:  # a meter is read when the hand has stopped
            self.reading, self.crop, self._read_key = ("…",), None, None
            return
        self._measure()

    def _moving(self) -> bool:
        """Tell whether head or ring are just being moved, frame by frame: then the picture may be coarse until they stand."""
        now = self.darkroom.desk.now
        stands = (now.height_mm, now.ring_mm, now.image_shift_x_mm, now.image_shift_y_mm)
        moved, self._stands = stands != self._stands, stands
        if not moved:
            return False
        in_motion, self._stood_s = self._stood_s < IN_MOTION_S, 0.0
        return in_motion

    def _look(self, poses: tuple[Any, ...], coarse: bool) -> None:
        room, size, region = self.darkroom, self.plan.view.size, self.plan.region_mm
        self._coarse = coarse and room.easel.lit
        if not room.easel.lit or self._live is None:
            return
        half = (size[0] // 2, size[1] // 2)
        seen = room.easel.picture(half if self._coarse else size, region, poses)
        if self._tint[0] != (seen.tint, room.desk.now):
            self._tint = ((seen.tint, room.desk.now), light_table_of(seen.tint, adapted(seen.values)))
        if not self._coarse:
            np.take(self._tint[1], seen.values, out=self._live.pixels, mode="clip")
            return
        small = LivePicture(*half)
        np.take(self._tint[1], seen.values, out=small.pixels, mode="clip")
        self._live.surface.blit(scaled(small.surface, size), (0, 0))

    def _measure(self) -> None:
        """Read meter and loupe at the probe; the meter wants the bare light, without cards and without an exposure."""
        room = self.darkroom
        lit = room.easel.lit and not room.paper.exposing
        key = (self.probe_mm, room.desk.now, lit, room.easel.reference, self.loupe_on, self.screen.hands.held is None)
        if key == self._read_key:
            return
        self._read_key = key
        self.reading, self.crop = (), None
        if not lit or self.screen.hands.held is not None:
            return
        if room.desk.now.red_filter:  # what the paper does not see tells nothing about exposures
            self.reading = (self.words("red filter in"), *self._place_name())
            return
        try:
            self.reading = self._in_words(room.easel.meter(*self.probe_mm))
            if self.loupe_on:
                self.crop = self._through_loupe()
        except Refused:  # beside the picture: the probe is drawn, it reads nothing
            self.reading = ()

    def _in_words(self, read: Any) -> tuple[str, ...]:
        lux, name = f"{read.lux:.3g} lux", self._place_name()
        if read.stops is None:
            return (lux, *name)
        sign = f"{read.stops:+.2f}".replace("-", "−")
        paper = f"{read.paper_stops:+.2f}".replace("-", "−")
        return lux, self.words("{stops} stop", stops=sign), self.words("{stops} for the paper", stops=paper), *name

    def _place_name(self) -> tuple[str, ...]:
        """Return the name of the place under the probe, if the sleeve names one there."""
        left, top, wide, high = self.darkroom.desk.frame_mm
        for place in self.darkroom.desk.negative.places:
            x, y = left + place.x * wide, top + place.y * high
            if abs(x - self.probe_mm[0]) <= NEAR_MM and abs(y - self.probe_mm[1]) <= NEAR_MM:
                return (plain_name(place.name),)
        return ()

    def _through_loupe(self) -> tuple[pygame.Surface, str]:
        crop = self.darkroom.easel.loupe(*self.probe_mm, px=self.look.px(LOUPE_PX))
        tint = self._tint[0][0] if self._tint[0] else (1.0, 1.0, 1.0)
        shares = [round(255 * share**0.5 * white) for share, white in zip(tint, LAMP_WHITE)]
        words = self.words("sharpness {share}", share=f"{crop.contrast_5_lp_mm:.2f}")
        return grey_surface(crop.values, (shares[0], shares[1], shares[2])), words

    def draw(self, canvas: Canvas) -> None:
        """Draw the stray light of the lamp, and the board that stands in it."""
        if self.darkroom.easel.lit:
            drawing.draw_stray_light(canvas, self.plan, self.darkroom.desk.now.red_filter)
        drawing.draw_board(canvas, self.plan, self.sheet_mm)

    def draw_board(self, canvas: Canvas) -> None:
        """Draw light or dark paper, blades, steps, cards, probe and loupe, from below to above."""
        room, plan, now = self.darkroom, self.plan, self.darkroom.desk.now
        piece = room.paper.piece
        flat = (piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm) if piece else None
        if room.easel.lit and self._live is not None:
            canvas.surface.blit(self._live.surface, plan.view)
            drawing.draw_blade_edges(canvas, plan, self.sheet_mm, now.border_mm)
        else:
            drawing.draw_unlit(canvas, plan, self.sheet_mm, now.border_mm)
        if flat and not room.easel.lit:
            drawing.draw_paper(canvas, plan, flat)
            seen, border = flat, now.border_mm
            if piece.kind == "sheet":
                drawing.draw_blades(canvas, plan, self.sheet_mm, border)
                seen = (flat[0] + border, flat[1] + border, flat[2] - 2 * border, flat[3] - 2 * border)
            if piece.exposures:
                drawing.draw_folded_corner(canvas, plan, seen)
        if flat and piece.kind == "strip":
            drawing.draw_piece_edge(canvas, plan, flat)
            strip = self.screen.strip
            if strip.cover() is not None:
                drawing.draw_cover(canvas, plan, flat, *strip.cover())
            drawing.draw_steps(canvas, plan, flat, strip.marks(), strip.only_planned())
        self._draw_cards(canvas)
        if room.easel.lit and self.reading:
            drawing.draw_probe(canvas, plan, self.probe_mm, self.reading, room.easel.reference is not None)
        if self.crop is not None:
            draw_loupe(canvas, plan, self.probe_mm, *self.crop)

    def _draw_cards(self, canvas: Canvas) -> None:
        hands, lamp = self.screen.hands, self.screen.lamp
        for card in hands.fixed:
            if card.in_light(lamp.elapsed_s):
                draw_card(canvas, self.plan, drawn(card, lamp.elapsed_s), hands.edited is card)
        if hands.over_easel is not None:
            draw_card(canvas, self.plan, drawn(hands.over_easel), True)


def adapted(values: NDArray[np.uint8]) -> float:
    """Return how much brighter a dark picture seems to an eye that has got used to it: most of the way, in logarithms.

    Behind a hard filter the projection is so dim that nobody could place a strip by it otherwise (assumption, for looking).
    """
    brightest = float(np.percentile(values[::6, ::6], 99.0))
    return float(np.clip((WELL_SEEN / max(brightest, 1.0)) ** ADAPTED_SHARE, 1.0, 4.0))


def light_table_of(tint: tuple[float, float, float], gain: float = 1.0) -> NDArray[np.uint32]:
    """Return 256 screen colours of the lamp's light, from none, where only the safelight falls, to the open beam.

    Of a filter's colour the adapted eye sees about half (assumption); red light stays red.
    """
    shares = tint if tint[0] > 2.0 * tint[1] and tint[0] > 2.0 * tint[2] else [share**0.5 for share in tint]
    lamp = np.array([share * white for share, white in zip(shares, LAMP_WHITE)])
    part = np.minimum(1.0, gain * np.arange(256)[:, None] / 255.0)
    colours = np.rint(lamp * 255.0 * part + np.array(IN_SHADOW) * (1.0 - part) ** 2).astype(np.uint32).clip(0, 255)
    return np.asarray(colours[:, 2] + 256 * colours[:, 1] + 65536 * colours[:, 0]).astype(np.dtype("<u4"))


def drawn(card: HeldCard, elapsed_s: float | None = None) -> DrawnCard:
    """Return what is drawn of a card at a moment."""
    x, y = (card.x_mm, card.y_mm) if elapsed_s is None else card.place_at(elapsed_s)
    wire = None if card.hole or card.shape == "edge" else card.tool().wire_towards_deg
    return DrawnCard(
        card.shape, card.width_mm, card.length_mm, x, y, card.card_height_mm, card.angle_deg, card.hole, wire
    )
