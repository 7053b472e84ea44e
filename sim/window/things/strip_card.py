"""The covering card of a strip: before the lamp it says how the steps are meant, under the lamp it is drawn on."""

from __future__ import annotations

from dataclasses import replace

import pygame
from pygame import Rect

from sim.bench.paper_in_hand import FLASHES, SAME_PLACE
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel
from sim.window.things.in_room import InRoom
from sim.window.things.strip_meant import TURN_DEG, StripMeant, step_points

SIDES = {90: "down", 0: "right", 270: "up", 180: "left"}
FRACTIONS = {1 / 6: "⅙", 1 / 4: "¼", 1 / 3: "⅓", 1 / 2: "½", 1.0: "1"}


class StripCard:
    """What the strip in the easel is meant to be, kept from one strip to the next as a habit is."""

    def __init__(self, room: OneRoom, easel: Easel):
        self.room, self._easel = room, easel
        self.meant = StripMeant()
        self.things = [
            StripChoice(room, self, "strip kind"), StripChoice(room, self, "strip steps"),
            StripChoice(room, self, "strip apart"), StripChoice(room, self, "strip way"),
            StripChoice(room, self, "strip hand"),
        ]  # fmt: skip

    @property
    def fresh(self) -> bool:
        """Whether a strip lies in the easel that has had no light yet."""
        piece = self.room.darkroom.paper.piece
        return piece is not None and piece.kind == "strip" and not piece.exposures and not self.room.burning

    def said(self, id: str) -> str:
        """Return what stands on one of the choices."""
        meant, line = self.meant, self.room.line
        if id == "strip steps":
            return self.room.words.count("{n} step", "{n} steps", meant.count)
        if id == "strip apart":
            return line("steps apart", stops=FRACTIONS[meant.stops])
        if id == "strip way":
            side = SIDES.get(round(meant.angle_deg))
            return line("way " + side) if side else line("way round", degrees=f"{meant.angle_deg:.0f}")
        if id == "strip kind":
            return line("kind " + meant.way)
        return line("card by hand" if meant.by_hand else "card by itself")

    def change(self, id: str, by: int) -> None:
        """Change one of the choices."""
        meant = self.meant
        if id == "strip steps":
            self.meant = meant.more_steps(by)
        elif id == "strip apart":
            self.meant = meant.farther_apart(by)
        elif id == "strip way":
            self.meant = meant.turned(TURN_DEG * by)
        elif id == "strip kind":
            self.meant = meant.other_way(by)
        else:
            self.meant = replace(meant, by_hand=not meant.by_hand)

    def update(self, dt_s: float) -> None:
        """Show the steps as they are meant, or as they were given; pull the card at its moment if it goes by itself."""
        paper, easel = self.room.darkroom.paper, self._easel
        piece, drawn = paper.piece, paper.being_covered
        easel.marks, easel.covered, easel.slot = (), None, None
        if piece is None or piece.kind != "strip":
            return
        laid = paper.strip_to_come
        if laid is not None and not self.fresh:
            step = max(0, laid.step - 1)
            easel.covered = (step / laid.count, laid.angle_deg) if laid.way in ("bursts", "flash") else None
            easel.slot = (laid.angle_deg, 1.0 / laid.count) if laid.slot_mm is not None else None
            easel.marks, easel.marks_meant = self._marks(laid.times_s), True
        elif drawn is not None:
            easel.covered = (drawn.covered_share, drawn.angle_deg)
            easel.marks, easel.marks_meant = self._given(drawn.moments_s), False
        elif self.fresh:
            times = self.meant.times_s(self.room.darkroom.desk.now.time_s)
            easel.slot = (self.meant.angle_deg, 1.0 / self.meant.count) if self.meant.way in SAME_PLACE else None
            easel.marks, easel.marks_meant = self._marks(times), True
        else:
            steps = paper.strip_steps
            easel.marks_meant = False
            easel.marks = tuple((f"{self.room.number(s.time_s)} s", piece.x_mm + s.x_mm, piece.y_mm + s.y_mm) for s in steps)

    def _given(self, moments: tuple[float, ...]) -> tuple[tuple[str, float, float], ...]:
        times = self.meant.times_s(self.room.darkroom.desk.now.time_s)
        return self._marks((*moments, *times[len(moments) :]))

    def _marks(self, times_s: tuple[float, ...]) -> tuple[tuple[str, float, float], ...]:
        """Return the words of every step and its middle on the easel, in mm."""
        piece = self.room.darkroom.paper.piece
        if piece is None:
            return ()
        flat = (piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm)
        points = step_points(flat, self.meant.angle_deg, len(times_s))
        return tuple((f"{self.room.number(t)} s", x, y) for t, (x, y) in zip(times_s, points))

    def first_light(self) -> tuple[float, int]:
        """Return the seconds that the foot gives a fresh strip first, and in how many lights it has all its steps."""
        meant, dialled_s = self.meant, self.room.darkroom.desk.now.time_s
        times = meant.times_s(dialled_s)
        if meant.way == "covered":
            return times[-1], 1
        if meant.way == "flash":
            return dialled_s, meant.count
        if meant.way in ("burn", "local-flash"):  # every step has the dialled light, all but the first their own besides
            return dialled_s, 2 * meant.count - 1
        return times[0], meant.count

    def lay(self) -> None:
        """Say how the strip is laid whose light is switched for every step."""
        meant, now = self.meant, self.room.darkroom.desk.now
        assert meant.way != "covered"
        over_s = now.time_s if meant.way in ("burn", *FLASHES) else 0.0
        times = meant.times_s(now.time_s)
        self.room.darkroom.paper.lay_in_steps(meant.way, times, meant.angle_deg, over_s, meant.dimmed_stops)

    def begin(self) -> float:
        """Begin the strip that is covered while the lamp burns; returns the seconds of the light that is switched on."""
        times = self.meant.times_s(self.room.darkroom.desk.now.time_s)
        self.room.darkroom.paper.begin_strip(len(times), times[-1], self.meant.angle_deg)
        return times[-1]

    def due(self, elapsed_s: float) -> bool:
        """Whether the card is to be drawn on now, where it goes by itself."""
        drawn = self.room.darkroom.paper.being_covered
        if drawn is None or drawn.whole or self.meant.by_hand:
            return False
        return elapsed_s >= self.next_s() - 1e-6

    def next_s(self) -> float:
        """When the card is meant to be drawn on next."""
        drawn = self.room.darkroom.paper.being_covered
        times = self.meant.times_s(self.room.darkroom.desk.now.time_s)
        return times[min(len(times) - 1, len(drawn.moments_s) if drawn else 0)]

    def lay_out(self, area: Rect, easel: Rect) -> None:
        """Stand at the foot beside the easel, below each other, else along the foot; while a fresh strip lies there."""
        look, nothing = self.room.look, Rect(0, 0, 0, 0)
        high, gap = look.px(24), look.px(4)
        wides = {thing.id: look.width(self.said(thing.id), "small") + look.px(18) for thing in self.things}
        idle = {"strip hand"} if self.meant.way != "covered" else set()
        shown = [thing for thing in self.things if self.fresh and thing.id not in idle]
        x, y = area.x, area.bottom - high - look.px(2)
        for thing in self.things:
            thing.rect = nothing
        if max(wides.values()) <= easel.x - area.x - look.px(14):
            for n, thing in enumerate(reversed(self.things)):  # each keeps its place, whichever of the others is there
                thing.rect = Rect(x, y - n * (high + gap), wides[thing.id], high) if thing in shown else nothing
            return
        for thing in self.things:
            if x + wides[thing.id] > area.right and x > area.x:  # a second row above the first
                x, y = area.x, y - high - gap
            thing.rect = Rect(x, y, wides[thing.id], high) if thing in shown else nothing
            x += wides[thing.id] + look.px(6)


class StripChoice(InRoom):
    """One thing that is decided about a strip; a touch or the wheel changes it."""

    def __init__(self, room: OneRoom, card: StripCard, id: str):
        super().__init__(room, id)
        self._card = card

    def now(self) -> str:
        """What is decided."""
        return self._card.said(self.id)

    def pressed(self) -> None:
        """The next choice; after the last comes the first."""
        before = self._card.meant
        self._card.change(self.id, 6 if self.id == "strip way" else 1)  # a quarter of a turn; the wheel turns by less
        if self._card.meant == before:
            self._card.change(self.id, -99)

    def by(self, steps: int, fine: bool) -> bool:
        """The next choice, or the one before."""
        self._card.change(self.id, steps)
        return True

    def draw(self, canvas: Canvas) -> None:
        """A pencilled tag."""
        look, rect = canvas.look, self.rect
        pygame.draw.rect(canvas.surface, look.colour("sunk"), rect, border_radius=rect.h // 2)
        pygame.draw.rect(canvas.surface, look.colour("lamp" if self.hot else "edge"), rect, 1, border_radius=rect.h // 2)
        canvas.text(self.now(), rect.center, "small", "ink", "center", rect.w)
