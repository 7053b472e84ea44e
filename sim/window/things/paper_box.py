"""The box of paper, the envelope of strips cut from it, and the bin: where paper comes from and where spoilt paper goes."""

from __future__ import annotations

import pygame
from pygame import Rect, Surface

from sim.bench.piece import Kind
from sim.refusals import Refused
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.look import Look
from sim.window.kit.shading import cast, mixed, smooth
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel
from sim.window.things.in_room import InRoom

MOST_DRAWN = 24


def sheets_in_words(sheets: float) -> str:
    """Return a number of sheets as a printer counts them: quarters are strips."""
    whole = int(sheets)
    part = {0: "", 1: "¼", 2: "½", 3: "¾"}[round((sheets - whole) * 4) % 4]
    return f"{whole if whole or not part else ''}{part}" or "0"


class PaperBox(InRoom):
    """Touch it or drag out of it: a sheet lies in the easel. With unexposed paper on the easel, that goes back."""

    kind: Kind = "sheet"
    cursor = "grab"

    def __init__(self, room: OneRoom, easel: Easel, id: str = "paper box"):
        super().__init__(room, id)
        self._easel = easel
        self.dragged_to: tuple[int, int] | None = None

    def now(self) -> str:
        """What is left."""
        darkroom = self.room.darkroom
        left = darkroom.sheets_left
        words = self.room.words.count("{count} sheet left", "{count} sheets left", left, count=sheets_in_words(left))
        return f"{words} · {self.room.title('paper')}"

    def pressed(self) -> None:
        """Take paper out, or put it back."""
        if self.room.darkroom.paper.piece is not None:
            self.room.darkroom.paper.put_back()
            self.room.sounds.play("tongs")
            return
        self.take(None)

    def take(self, at_mm: tuple[float, float] | None) -> None:
        """Take paper out; a focusing light without its red filter is switched off first, as anybody would.

        Raises Refused where the lesson makes its next piece itself, once its lines were read: one's own could not be developed.
        """
        darkroom, lesson = self.room.darkroom, self.room.lesson
        if lesson is not None and lesson.shown_next and lesson.stage != "brief":
            raise Refused(self.room.line("made for you"))
        if darkroom.white_light and darkroom.paper.piece is None:
            self.room.say("white over box", warn=True)
            return
        now = darkroom.desk.now
        off = now.focus_light and not now.red_filter and darkroom.paper.piece is None and not darkroom.white_light
        if off:
            darkroom.desk.set("focus_light", False)
        try:
            darkroom.paper.take(self.kind, at_mm=at_mm)
        except Exception:
            if off:
                darkroom.desk.set("focus_light", True)
            raise
        self.room.sounds.play("tongs")
        self.room.messages.done()
        if off:
            fresh = darkroom.paper.piece
            self.room.say("light went off", holds=lambda: darkroom.paper.piece == fresh and not self.room.burning)

    def press(self, at: Pointer) -> Gesture | None:
        """Drag a piece onto the easel."""
        if self.room.darkroom.paper.piece is not None:
            return super().press(at)

        def move(dx: int, dy: int, now: Pointer) -> None:
            self.dragged_to = now.pos

        def back() -> None:
            self.dragged_to = None

        def done() -> None:
            to, self.dragged_to = self.dragged_to, None
            if to is not None and self._easel.rect.collidepoint(to):
                self.take(self._easel.plan.to_mm(to) if self.kind == "strip" else None)

        return Drag(at, move, done, self.pressed, back)

    def draw(self, canvas: Canvas) -> None:
        """The box from the front: as many paper edges as sheets are left, the lid leaning behind."""
        look, rect, darkroom = canvas.look, self.rect, self.room.darkroom
        line = look.line_height("small")
        body = Rect(rect.x, rect.y, rect.w, rect.h - line - look.px(2))
        left, full = darkroom.sheets_left, float(darkroom.evening.state.opening.sheets)
        edges = min(MOST_DRAWN, round(MOST_DRAWN * left / full) if full > MOST_DRAWN else int(left + 0.999))
        cast(canvas.surface, look, body, 8, 3)
        canvas.surface.blit(
            look.keep(("box", body.size, edges), lambda: smooth(body.size, lambda b, n: _box(b, look, n, edges))), body
        )
        words = sheets_in_words(left)
        canvas.text(words, (rect.centerx, rect.bottom), "small", "ink", "midbottom", rect.w)
        _hot(canvas, body, self.hot)

    def draw_dragged(self, canvas: Canvas) -> None:
        """Draw the piece that a hand carries from the box."""
        if self.dragged_to is not None:
            plan, now = self._easel.plan, self.room.darkroom.desk.now
            size = (
                (now.sheet_width_mm, now.sheet_height_mm)
                if self.kind == "sheet"
                else (now.sheet_width_mm, now.sheet_height_mm / 4)
            )
            rect = Rect(0, 0, round(size[0] * plan.px_per_mm * 0.6), round(size[1] * plan.px_per_mm * 0.6))
            rect.center = self.dragged_to
            pygame.draw.rect(canvas.surface, mixed(canvas.look.colour("ground"), canvas.look.colour("paper"), 0.5), rect)
            pygame.draw.rect(canvas.surface, canvas.look.colour("soft"), rect, 1)


class StripEnvelope(PaperBox):
    """Strips torn from a sheet, a quarter each: touch it, or drag one along the tone it should show."""

    kind: Kind = "strip"

    def __init__(self, room: OneRoom, easel: Easel):
        super().__init__(room, easel, "strips")

    def draw(self, canvas: Canvas) -> None:
        """An envelope with strips looking out of it."""
        look, rect = canvas.look, self.rect
        body = Rect(rect.x, rect.y, rect.w, rect.h - look.line_height("small") - look.px(2))
        cast(canvas.surface, look, body, 6, 2)
        canvas.surface.blit(
            look.keep(("strips", body.size), lambda: smooth(body.size, lambda b, n: _envelope(b, look, n))), body
        )
        canvas.text("¼", (rect.centerx, rect.bottom), "small", "ink", "midbottom", rect.w)
        _hot(canvas, body, self.hot)


class Bin(InRoom):
    """Spoilt paper is thrown away; once it has had light it is used up all the same, and the log says so."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "bin")

    @property
    def shown(self) -> bool:
        """It is of use only with paper on the easel."""
        return self.room.darkroom.paper.piece is not None and self.rect.w > 0

    def pressed(self) -> None:
        """Throw the piece away."""
        self.room.darkroom.paper.throw_away()
        self.room.messages.done()

    def draw(self, canvas: Canvas) -> None:
        """A bin from above."""
        look, rect = canvas.look, self.rect
        canvas.surface.blit(look.keep(("bin", rect.size), lambda: smooth(rect.size, lambda b, n: _bin(b, look, n))), rect)
        _hot(canvas, rect, self.hot)


def _hot(canvas: Canvas, rect: Rect, hot: bool) -> None:
    if hot:
        pygame.draw.rect(canvas.surface, canvas.look.colour("soft"), rect.inflate(4, 4), 1, border_radius=canvas.look.px(4))


def _box(big: Surface, look: Look, n: int, edges: int) -> None:
    wide, high = big.get_size()
    u = look.px(1) * n
    paper = mixed(look.colour("ground"), look.colour("paper"), 0.72)
    hinge = int(high * 0.36)
    lid = [(int(wide * 0.06), hinge), (int(wide * 0.14), 2 * u), (int(wide * 0.86), 2 * u), (int(wide * 0.94), hinge)]
    pygame.draw.polygon(big, look.colour("panel"), lid)
    pygame.draw.lines(big, look.colour("edge"), True, lid, max(1, u))
    tray = Rect(u, hinge, wide - 2 * u, int(high * 0.64) - u)
    pygame.draw.rect(big, look.colour("raised"), tray, border_radius=3 * u)
    pygame.draw.rect(big, look.colour("edge"), tray, max(1, u), border_radius=3 * u)
    mouth = tray.inflate(-8 * u, -8 * u)
    pygame.draw.rect(big, look.colour("shade"), mouth, border_radius=2 * u)
    pitch = mouth.h / (MOST_DRAWN + 1)
    for k in range(edges):
        y = mouth.bottom - int(pitch * (k + 1))
        pygame.draw.line(big, paper, (mouth.x + 3 * u, y), (mouth.right - 3 * u, y), max(1, int(pitch * 0.5)))


def _envelope(big: Surface, look: Look, n: int) -> None:
    wide, high = big.get_size()
    u = look.px(1) * n
    paper = mixed(look.colour("ground"), look.colour("paper"), 0.6)
    for k in range(4):
        strip = Rect(int(wide * (0.16 + 0.18 * k)), int(high * (0.1 + 0.05 * (k % 2))), int(wide * 0.13), high)
        pygame.draw.rect(big, paper, strip)
        pygame.draw.rect(big, look.colour("edge"), strip, max(1, u))
    front = Rect(u, int(high * 0.42), wide - 2 * u, int(high * 0.58) - u)
    pygame.draw.rect(big, look.colour("raised"), front, border_radius=2 * u)
    pygame.draw.rect(big, look.colour("edge"), front, max(1, u), border_radius=2 * u)


def _bin(big: Surface, look: Look, n: int) -> None:
    wide, high = big.get_size()
    u = look.px(1) * n
    body = [(int(wide * 0.14), int(high * 0.22)), (int(wide * 0.86), int(high * 0.22)), (int(wide * 0.74), int(high * 0.92)),
            (int(wide * 0.26), int(high * 0.92))]  # fmt: skip
    pygame.draw.polygon(big, look.colour("panel"), body)
    pygame.draw.lines(big, look.colour("edge"), True, body, max(1, u))
    pygame.draw.ellipse(big, look.colour("shade"), Rect(int(wide * 0.14), int(high * 0.12), int(wide * 0.72), int(high * 0.2)))
    pygame.draw.ellipse(
        big, look.colour("soft"), Rect(int(wide * 0.14), int(high * 0.12), int(wide * 0.72), int(high * 0.2)), max(1, u)
    )
