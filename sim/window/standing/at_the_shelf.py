"""The door and the shelf: every evening kept, with its best print as its face, and a fresh box of paper for a new one."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.bench.darkroom import Darkroom
from sim.bench.developed_negatives import DevelopedNegatives
from sim.window.evenings import kept_evenings
from sim.window.hands.thing import Thing
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import pool_of_light
from sim.window.lesson_desk import begin_evening
from sim.window.standing.place import Acts, Place
from sim.window.standing.room import OneRoom
from sim.window.things.evening_face import EveningFace
from sim.window.things.in_room import Plate
from sim.window.things.timer import light_of

FACE, FACE_HIGH = 132, 176


class AtTheShelf(Place):
    """What one sees first. Nothing heavy is loaded before it stands there."""

    id = "shelf"

    def __init__(self, room: OneRoom):
        super().__init__(room)
        self.begin = Plate(room, "new evening", self._begin)
        self.carry_on = Plate(room, "carry on", self._carry_on)
        self.box = Plate(room, "fresh box", self._choose_box)
        self.lessons = Plate(room, "lessons", self._lessons)
        self.earlier, self.later = (Plate(room, "earlier", lambda: self._page(1)), Plate(room, "later", lambda: self._page(-1)))
        self._negatives = DevelopedNegatives()
        self.faces: dict[str, EveningFace] = {}
        self.shown: list[EveningFace] = []
        self._first, self._per_page, self._beginning = 0, 1, False
        self._caution = Rect(0, 0, 1, 1)

    def _begin(self, paper: str = "glossy-rc-vc", sheets: int = 20, minutes: float = 180.0) -> None:
        """Have a fresh box put on the table beside the window: what is behind the door takes a moment to be fetched."""
        if self._beginning:
            return
        self._beginning, folder = True, self.room.folder
        self.room.say("lesson opening", holds=lambda: self._beginning)
        job = lambda: begin_evening(folder, paper=paper, sheets=sheets, minutes=minutes, by_meter=True)[0]  # noqa: E731
        self.room.soon(job, self._stand_in, self._not_begun)

    def _not_begun(self) -> None:
        self._beginning = False

    def _stand_in(self, darkroom: Darkroom) -> None:
        self._beginning = False
        darkroom.desk.set("focus_light", True)  # one comes in and sees the picture
        self.room.take_up(darkroom)
        self.room.metered = light_of(darkroom.desk.now)
        self.room.wanted_place = "enlarger"
        self.room.say("evening open", holds=lambda: darkroom.paper.piece is None and self.room.standing.place == "enlarger")

    def entered(self) -> None:
        """The evening one comes from may have a better face by now."""
        face = self.faces.get(self.room.darkroom.folder.name) if self.room.open else None
        if face is not None:
            face.looked = False

    def _choose_box(self) -> None:
        from sim.window.things.fresh_box import FreshBox

        self.room.wanted_over = lambda: FreshBox(self.room, self._begin_with)

    def _begin_with(self, paper: str, sheets: int, minutes: float) -> None:
        self._begin(paper, sheets, minutes)
        self.room.wanted_over = lambda: None  # the sheet over the room is taken away

    def _lessons(self) -> None:
        from sim.window.teacher.lesson_shelf import LessonShelf

        self.room.wanted_over = lambda: LessonShelf(self.room)

    def _carry_on(self) -> None:
        folders = kept_evenings(self.room.folder)
        if self.room.open:
            self.room.wanted_place = "enlarger"
        elif folders:
            self._face(folders[-1].name).pressed()

    def _face(self, name: str) -> EveningFace:
        return self.faces[name]

    def _page(self, steps: int) -> None:
        self._first = max(0, min(max(0, len(self.faces) - 1), self._first + steps * self._per_page))

    def things(self) -> Sequence[Thing]:
        """Return the plates and the evenings that are in view."""
        return [self.carry_on, self.begin, self.box, self.lessons, *self.shown, self.earlier, self.later]

    def lay_out(self, area: Rect) -> None:
        """Two plates by the door at the left; the shelf takes the rest, the newest evening first."""
        self.area, px = area, self.room.px
        folders = list(reversed(kept_evenings(self.room.folder)))
        for folder in folders:
            if folder.name not in self.faces:
                self.faces[folder.name] = EveningFace(self.room, folder, self._negatives)
        left = Rect(area.x + px(28), area.y, max(px(190), area.w * 24 // 100), area.h)
        y = area.y + area.h * 42 // 100
        nothing = Rect(0, 0, 0, 0)
        for plate in (self.begin, self.box, self.lessons, self.carry_on):  # each at its place, whether one can carry on or not
            wide, high = plate.wanted()
            plate.rect = Rect(left.x, y, max(wide, left.w - px(20)), high + px(8))
            y += high + px(14)
        self.carry_on.rect = self.carry_on.rect if folders else nothing
        lost = self._lay_out_caution(left.x, y)
        shelf = Rect(left.right + px(20), area.y + px(36), area.right - left.right - px(44), area.h - px(84) - lost)
        self._lay_out_faces(shelf, [self._face(folder.name) for folder in folders])

    def _lay_out_caution(self, left: int, plates_end: int) -> int:
        """What one minds stands below the plates, or along the foot where they leave no room; return what that takes of it."""
        look, area, px = self.room.look, self.area, self.room.px
        words = self.room.line("cautions door")
        for wide, along in ((max(px(190), area.w * 24 // 100), False), (area.right - left - px(28), True)):
            high = len(look.wrapped(words, wide, "small")) * look.line_height("small")
            self._caution = Rect(left, area.bottom - high - px(6 if along else 16), wide, high)
            if self._caution.y >= plates_end:
                break
        return area.bottom - self._caution.y if along else 0

    def _lay_out_faces(self, shelf: Rect, faces: list[EveningFace]) -> None:
        px = self.room.px
        across, down = max(1, shelf.w // px(FACE + 14)), max(1, shelf.h // px(FACE_HIGH + 22))
        self._per_page = across * down
        self._first = min(self._first, max(0, len(faces) - 1))
        self.shown = faces[self._first : self._first + self._per_page]
        for n, face in enumerate(self.shown):
            x, y = shelf.x + (n % across) * px(FACE + 14), shelf.y + (n // across) * px(FACE_HIGH + 22)
            face.rect = Rect(x, y, px(FACE), px(FACE_HIGH))
        self.boards = [shelf.y + (k + 1) * px(FACE_HIGH + 22) - px(16) for k in range(down)]
        self.shelf = shelf
        more = len(faces) > self._per_page
        for plate, there, anchor in ((self.earlier, more and self._first + self._per_page < len(faces), "bottomright"),
                                     (self.later, more and self._first > 0, "bottomleft")):  # fmt: skip
            plate.rect = Rect((0, 0), plate.wanted()) if there else Rect(0, 0, 0, 0)
            if there:
                setattr(plate.rect, anchor, getattr(Rect(shelf.x, shelf.y, shelf.w, shelf.h + px(44)), anchor))

    def update(self, dt_s: float) -> bool:
        """Look into one evening more in every frame."""
        for face in self.shown:
            if not face.looked:
                inner = face.rect.inflate(-self.room.px(14), -self.room.px(34))
                face.look(inner.size)
                return True
        return False

    def draw(self, canvas: Canvas) -> None:
        """The wall by the door, the boards, and what stands on them."""
        look = canvas.look
        wall = look.keep(("by the door", self.area.size), lambda: pool_of_light(look, self.area.size, (0.6, 0.3)))
        canvas.surface.blit(wall, self.area)
        x, wide, words = self.begin.rect.x, max(look.px(190), self.area.w * 24 // 100), self.room.line("welcome")
        high = len(look.wrapped(words, wide, "small")) * look.line_height("small")
        y = min(self.area.y + self.area.h * 20 // 100, self.begin.rect.y - high - look.px(42 + 12))  # clear of the plates
        canvas.text("Tonewright", (x, y), "figure", "ink")
        canvas.lines(words, Rect(x, y + look.px(42), wide, look.px(110)), "small", "soft")
        for y in self.boards:
            board = Rect(self.shelf.x - look.px(12), y, self.shelf.w + look.px(12), look.px(9))
            pygame.draw.rect(canvas.surface, look.colour("raised"), board, border_radius=look.px(2))
            canvas.line(board.topleft, board.topright, "edge")
        for thing in self.things():
            if thing.shown:
                thing.draw(canvas)
        if not self.shown:
            first = Rect(self.shelf.x, self.boards[0] - look.px(60), self.shelf.w, look.px(50))
            canvas.lines(self.room.line("shelf empty"), first, "body", "soft")
        canvas.lines(self.room.line("cautions door"), self._caution, "small", "soft")

    def acts(self) -> Acts:
        """N begins, B with another box, L opens the lessons, C carries on."""
        return {
            "n": self.begin.pressed, "b": self._choose_box, "l": self._lessons, "c": self._carry_on, "return": self._carry_on,
        }  # fmt: skip
