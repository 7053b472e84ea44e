"""An evening on the shelf: its best print is its face; touched, one stands in that evening again."""

from __future__ import annotations

from pathlib import Path

import pygame
from pygame import Rect, Surface

from sim.bench.darkroom import Darkroom
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.wall import WallPrint
from sim.refusals import Refusal
from sim.window.evenings import task_of
from sim.window.kit.boxes import fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.kit.shading import cast
from sim.window.lesson_desk import open_evening, task_in
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom


def best_of(prints: tuple[WallPrint, ...]) -> WallPrint | None:
    """Return the print an evening is known by: what counts, else its last sheet, else its last strip."""
    made = [one for one in prints if one.developed]
    for wanted in ([p for p in made if p.nominated], [p for p in made if p.kind == "sheet"], made):
        if wanted:
            return wanted[-1]
    return None


class EveningFace(InRoom):
    """A frame on the shelf."""

    key_of_words = "evening"

    def __init__(self, room: OneRoom, folder: Path, negatives: DevelopedNegatives):
        super().__init__(room, f"evening {folder.name}")
        self.folder, self._negatives = folder, negatives
        self.face: Surface | None = None
        self.looked = False
        self._said = self._lesson = ""

    def name(self) -> str:
        """Which evening."""
        return self._lesson or self.room.line("evening no", n=int(self.folder.name))

    def now(self) -> str:
        """What was printed in it."""
        return self._said

    def look(self, size: tuple[int, int]) -> None:
        """Look into it, once: its best print, small."""
        self.looked = True
        try:
            darkroom = Darkroom.look(self.folder, negatives=self._negatives)
            self._lesson = self._title(darkroom.evening.state.opening.exercise)
            prints = darkroom.wall.prints()
            best = best_of(prints)
            titles = list(dict.fromkeys(self.room.said(one.title) for one in prints)) or [self.room.line("nothing printed")]
            count = self.room.words.count("{n} print", "{n} prints", len(prints))
            which = [self.room.line("evening no", n=int(self.folder.name))] * bool(self._lesson)
            self._said = " · ".join((*which, count, ", ".join(titles)))
            if best is not None:
                self.face = grey_surface(darkroom.wall.picture(best.number, (max(8, size[0]), max(8, size[1]))))
        except (Refusal, OSError) as error:
            self._said = self.room.said(str(error))

    def _title(self, exercise: str) -> str:
        """Return the title of a lesson's evening; nothing of a free one, or where the lesson cannot be read any more."""
        if not exercise:
            return ""
        try:
            return self.room.said(task_in(task_of(self.folder) or exercise).exercise.title)
        except (Refusal, OSError):
            return exercise

    def pressed(self) -> None:
        """Stand in it again."""
        room = self.room
        if room.open and room.darkroom.folder.resolve() == self.folder.resolve():
            room.wanted_place = "enlarger"
            return
        darkroom, run = open_evening(self.folder)
        room.take_up(darkroom, run)
        room.wanted_place = "wall" if darkroom.wall.prints() else "enlarger"

    def draw(self, canvas: Canvas) -> None:
        """The print in a plain mount, its number below."""
        look, rect = canvas.look, self.rect
        line = look.line_height("small")
        frame = Rect(rect.x, rect.y, rect.w, rect.h - line - look.px(4))
        cast(canvas.surface, look, frame, 8, 3)
        pygame.draw.rect(canvas.surface, look.colour("raised"), frame, border_radius=look.px(3))
        if self.face is not None:
            inner = fit(self.face.get_size(), frame.inflate(-look.px(14), -look.px(14)))
            tint = look.colour("paper") if look.palette.name != "white-light" else (255, 255, 255)
            picture = look.keep(("face", self.id, inner.size, id(self.face)), lambda: _tinted(self.face, inner.size, tint))
            canvas.surface.blit(picture, inner)
        here = self.room.open and self.room.darkroom.folder.resolve() == self.folder.resolve()
        edge = "lamp" if here else ("soft" if self.hot else "edge")
        pygame.draw.rect(canvas.surface, look.colour(edge), frame, look.px(2) if here else 1, border_radius=look.px(3))
        words = self.name()
        canvas.text(
            words,
            (rect.centerx, rect.bottom),
            "small",
            "ink" if here or self.hot else "soft",
            "midbottom",
            rect.w,
            shorten=True,
        )


def _tinted(face: Surface | None, size: tuple[int, int], tint: tuple[int, int, int]) -> Surface:
    picture = pygame.transform.smoothscale(face, size) if face is not None else Surface(size)
    picture.fill(tint, special_flags=pygame.BLEND_RGB_MULT)
    return picture
