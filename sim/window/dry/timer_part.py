"""The timer: seconds and stops, the speed of the evening, and the foot switch."""

from __future__ import annotations

import math

import pygame
from pygame import Rect

from sim.window.dry.part import Part
from sim.window.kit.beat import FLASH_S
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow
from sim.window.kit.events import Outcome
from sim.window.kit.numbers import NumberField

SPEEDS = {"real": 1.0, "fast": 4.0, "at-once": math.inf}
LEAST_S, MOST_S = 0.1, 600.0


def in_stops(stops: float) -> str:
    """Return stops to the hundredth with their sign, as written beside a time: +0.33, −1.00, 0.00."""
    return f"{stops:+.2f}".replace("-", "−") if abs(stops) >= 0.005 else "0.00"


class TimerPart(Part):
    """Timer and foot switch. ``zero_s`` is the time that counts as 0 stops: the last one exposed with."""

    zero_s = 0.0
    speed = "real"

    def build(self) -> None:
        """Make seconds, stops, speed and pad."""
        t = self.words
        self.seconds = self.add(NumberField("seconds", t("Seconds"), 10.0, "s", LEAST_S, MOST_S, 0.5, 1, self.set_seconds))
        self.stops = self.add(NumberField("stops", t("Stops from last"), 0.0, "", -9.0, 9.0, 1 / 6, 2, self.set_stops))
        speeds = [("real", t("Real time")), ("fast", t("× 4")), ("at-once", t("At once"))]
        self.pace = self.add(ChoiceRow("speed", "", speeds, "real", self.set_speed))
        self.pad = self.add(PushButton("expose", t("Expose"), self.screen.foot_switch, lamp=False, big=True))
        self.zero_s = self.darkroom.desk.now.time_s

    def set_seconds(self, value: float) -> None:
        """Dial a time."""
        self.darkroom.desk.set("time_s", round(value, 2))

    def set_stops(self, value: float) -> None:
        """Dial a time by its distance in stops from the last one."""
        time_s = min(MOST_S, max(LEAST_S, self.zero_s * 2.0**value))
        self.darkroom.desk.set("time_s", round(time_s, 2))

    def set_speed(self, value: str) -> None:
        """Choose how fast the evening goes."""
        self.speed = value

    def exposed(self, time_s: float) -> None:
        """A time was used: the next ones are counted in stops from it."""
        self.zero_s = time_s

    def turn(self, sixths: int) -> Outcome | None:
        """Make the time longer or shorter by sixths of a stop."""
        time_s = self.darkroom.desk.now.time_s * 2.0 ** (sixths / 6)
        return self.set_seconds(min(MOST_S, max(LEAST_S, time_s)))

    def layout(self, rect: Rect) -> None:
        """Figure on top, fields, speed, and the pad at the bottom, large enough for a foot."""
        self.rect, px = rect, self.look.px
        inner = rect.inflate(-2 * px(12), -2 * px(10))
        self.pad.rect, inner = cut_bottom(inner, px(46), px(8))
        self.pace.rect, inner = cut_bottom(inner, px(30), px(8))
        row, inner = cut_bottom(inner, self.seconds.wanted(self.look)[1], px(8))
        self.seconds.rect, self.stops.rect = columns(row, (1, 1), px(10))
        self.face, _ = cut_top(inner, inner.h)

    def height(self) -> int:
        """Return the pixels the part needs: pad, speed, fields, and the figure above them."""
        px, field = self.look.px, self.seconds.wanted(self.look)[1]
        return 2 * px(10) + px(46) + px(8) + px(30) + px(8) + field + px(8) + self.look.line_height("figure") + px(6)

    def refresh(self) -> None:
        """Show the dialled time both ways, and whether the lamp is on."""
        found = self.desk_control(self.seconds, "time_s")
        self.stops.value = math.log2(max(1e-3, found.value) / self.zero_s)
        self.stops.why_not = self.seconds.why_not
        self.pace.value = self.speed
        on = self.darkroom.paper.exposing
        self.pad.lamp = on
        self.pad.label = self.words("Switch off") if on else self.words("Expose")
        for field in (self.seconds, self.stops):
            field.enabled = not on

    def draw(self, canvas: Canvas) -> None:
        """The big figure counts down while the lamp is on; a bar says how much of the time is gone."""
        look, px = canvas.look, canvas.look.px
        canvas.panel(self.rect)
        paper, face = self.darkroom.paper, self.face
        time_s = self.darkroom.desk.now.time_s
        elapsed = self.screen.lamp.elapsed_s
        on = self.screen.lamp.on
        shown = max(0.0, self.screen.lamp.time_s - elapsed) if on else time_s
        figure = canvas.text(f"{shown:.1f} s", (face.x, face.y - px(3)), "figure")
        words = self.words("left of {time} s", time=f"{self.screen.lamp.time_s:.1f}") if on else self._beside()
        counting = self.room.beat.on or (on and self.speed == "real")
        right = face.right - (px(20) if counting else 0)
        canvas.text(words, (right, figure.centery), "small", "soft", "midright", right - figure.right - px(8), shorten=True)
        if counting:
            canvas.lamp((face.right - px(8), figure.centery), px(5), self.room.beat.lit or self._on_the_second(on, elapsed))
        track = Rect(face.x, figure.bottom - px(1), face.w, px(4))
        pygame.draw.rect(canvas.surface, look.colour("sunk"), track, border_radius=px(2))
        if on:
            gone = Rect(track.x, track.y, round(track.w * min(1.0, elapsed / max(0.1, self.screen.lamp.time_s))), track.h)
            pygame.draw.rect(canvas.surface, look.colour("lamp"), gone, border_radius=px(2))
        elif paper.piece is not None and paper.piece.exposures:
            canvas.mark("dot", (track.right - px(4), track.centery), px(8), "soft")

    def _on_the_second(self, on: bool, elapsed_s: float) -> bool:
        """Tell whether the counting lamp is lit: at every beat of the exposure, in real time only."""
        beat_s = self.room.beat.beat_s
        return on and self.speed == "real" and not self.room.beat.on and elapsed_s % beat_s < FLASH_S

    def _beside(self) -> str:
        piece = self.darkroom.paper.piece
        if piece is None:
            return self.words("no paper out")
        if piece.exposures:
            return self.words("{seconds} s of light so far", seconds=f"{piece.seconds:.1f}")
        return self.words("paper on the easel")
