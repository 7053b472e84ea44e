"""The door of the darkroom: carry on where one was, open a free evening, or look at the lessons."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from pygame import Rect

from sim.window.evenings import kept_evenings
from sim.window.keys_of_every_place import DOOR_KEYS
from sim.window.kit.boxes import cut_left, inset, rows
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import UNUSED, Outcome, said
from sim.window.kit.notes import TextNote
from sim.window.kit.numbers import NumberField
from sim.window.kit.screen import Screen
from sim.window.start_picture import draw_room


class StartScreen(Screen):
    """What one sees first; nothing heavy is loaded before it stands there."""

    NAME = "start"
    HELP: ClassVar[dict[str, str]] = {
        "place": "The door of the darkroom. Carry on, open a free evening with a box of paper, or look at the lessons.",
        "carry-on": "Opens the evening you had last, at the place where you stood, with the sheets it has on the wall.",
        "free-evening": "A new box of paper and a new evening, with a negative in the carrier that prints well. "
        "Nothing is locked, nothing is marked.",
        "to-lessons": "Exercises in order: each has its own negative, its own small box of paper, and says what your "
        "print is measured against.",
        "sheets": "How many sheets the box holds. A strip takes a quarter of a sheet.",
        "minutes": "How long the evening lasts, in darkroom minutes: exposing, developing and rinsing use them up, "
        "thinking does not.",
    }
    ACTIONS = DOOR_KEYS

    def build(self) -> None:
        """Make the buttons and the two numbers."""
        t = self.room.words.text
        self.title = TextNote("title", "Tonewright", "figure")
        intro = t(
            "A darkroom to rehearse in. The negatives are difficult, the paper is counted, and the habits that work here "
            "work at a real enlarger."
        )
        caution = t(
            "In a real darkroom: fresh air, gloves, dry hands at every switch and mains lead, hot lamp houses left to cool, "
            "the safety sheets of your chemicals; local rules come first."
        )
        self.words = TextNote("words", intro, soft=True)
        self.caution = TextNote("caution", caution, "small", soft=True)
        self.carry_on = self.add(PushButton("carry-on", t("Carry on where you were"), self._carry_on, big=True))
        self.sheets = self.add(NumberField("sheets", t("Sheets in the box"), 20, "", 1, 100, 1, 0))
        self.minutes = self.add(NumberField("minutes", t("Minutes"), 180, "min", 15, 600, 15, 0))
        self.free = self.add(PushButton("free-evening", t("Open a free evening"), self._free_evening, big=True))
        self.lessons = self.add(PushButton("to-lessons", t("Go to the lessons"), self._to_lessons, big=True))

    def layout(self, area: Rect) -> None:
        """A column at the left; the rest shows the room."""
        look = self.room.look
        column, self.scene = cut_left(area, max(look.px(380), area.w * 34 // 100), look.px(16))
        inner = inset(column, look.px(16), look.px(20))
        words = self.words.height_for(look, inner.w)
        caution = self.caution.height_for(look, inner.w)
        px = look.px
        heights = [px(34), words, px(8), px(46), px(8), px(54), px(46), px(8), px(46)]
        title, intro, _, carry, _, numbers, free, _, lessons = rows(inner, heights, px(12))
        self.title.rect, self.words.rect, self.carry_on.rect = title, intro, carry
        half = (numbers.w - look.px(12)) // 2
        self.sheets.rect = Rect(numbers.x, numbers.y, half, numbers.h)
        self.minutes.rect = Rect(numbers.right - half, numbers.y, half, numbers.h)
        self.free.rect, self.lessons.rect = free, lessons
        self.caution.rect = Rect(inner.x, inner.bottom - caution, inner.w, caution)

    def refresh(self) -> None:
        """Carrying on needs an evening to carry on with."""
        there = self.room.darkroom is not None or bool(kept_evenings(self.room.folder))
        self.carry_on.why_not = "" if there else self.room.words.text("there is no evening yet")

    def act(self, action: str) -> Outcome:
        """The three keys of the door."""
        button = {"carry-on": self.carry_on, "free-evening": self.free, "to-lessons": self.lessons}.get(action)
        if button is None:
            return UNUSED
        return button.refused() if button.locked else (button.press() or Outcome())

    def _carry_on(self) -> Outcome:
        place = self.room.preferences.place or "enlarger"
        here = self.room.darkroom
        if here is not None and not here.evening.hands_off:
            return Outcome(go_to=place)
        folder = here.folder if here is not None else kept_evenings(self.room.folder)[-1]

        def opening() -> Any:
            from sim.window.lesson_desk import open_evening

            return open_evening(folder)

        return self._open(opening, place)

    def _free_evening(self) -> Outcome:
        folder, sheets, minutes = self.room.folder, int(self.sheets.value), float(self.minutes.value)

        def opening() -> Any:
            from sim.window.lesson_desk import begin_evening

            return begin_evening(folder, sheets=sheets, minutes=minutes)

        return self._open(opening, "enlarger")

    def _open(self, opening: Callable[[], Any], place: str) -> Outcome:
        words = self.room.words.text("The safelight goes on …")
        if self.room.bench_asked:
            return said(words)

        def opened(found: Any) -> Outcome:
            damage = self.room.take_up(*found)
            told = damage or self.room.words.text("The evening is open.")
            return Outcome(say=told, warn=bool(damage), go_to=place, rebuild=True)

        self.room.later(opening, opened, words)
        return said(words)

    def _to_lessons(self) -> Outcome:
        return Outcome(go_to="lessons")

    def draw(self, canvas: Canvas) -> None:
        """The room at the right, the door's plate at the left."""
        look = canvas.look
        picture = look.keep(("door", self.scene.size), lambda: draw_room(self.scene.size, look))
        canvas.surface.blit(picture, self.scene)
        for note in (self.title, self.words, self.caution):
            note.draw(canvas, False)
        super().draw(canvas)
