"""A place that holds one of every control, so that the kit is tested apart from the places that use it."""

from __future__ import annotations

from typing import Any, ClassVar

from pygame import Rect

from sim.window.kit.action import Action
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, Answer, Outcome, Question, asked
from sim.window.kit.notes import LongNote, NoteField, TextNote
from sim.window.kit.numbers import Column, NumberField
from sim.window.kit.ring import Ring
from sim.window.kit.screen import Screen

STOPS = [(s, s) for s in ("2.8", "4", "5.6", "8", "11", "16", "22")]


class Gallery(Screen):
    NAME = "gallery"
    HELP: ClassVar[dict[str, str]] = {
        name: f"Help for {name}."
        for name in (
            "press",
            "lamp",
            "rocker",
            "row",
            "list",
            "number",
            "column",
            "ring",
            "words",
            "long",
            "note",
            "locked",
            "ask",
        )
    }
    ACTIONS = (Action("mark", "Make a mark", "m"), Action("hold", "Hold something", "x"))

    def build(self) -> None:
        t = self.room.words.text
        self.seen: list[Any] = []
        self.letting_go: list[str] = []
        note = self.seen.append
        self.press = self.add(PushButton("press", t("Expose"), lambda: note("pressed")))
        self.lamp = self.add(PushButton("lamp", t("Red filter"), self._lamp, lamp=False))
        self.rocker = self.add(Toggle("rocker", t("Focusing light"), False, note))
        self.row = self.add(
            ChoiceRow("row", t("Filter"), [(s, s) for s in ("00", "0", "1", "2", "3", "4", "5")], "2", note)
        )
        rows = [Row(f"r{n}", f"negative {n}", "note", "tick" if n % 2 else "") for n in range(20)]
        self.list = self.add(ScrollList("list", t("Negatives"), rows, "r0", note, lambda key: note(f"open {key}")))
        self.number = self.add(NumberField("number", t("Seconds"), 10.0, "s", 0.5, 60.0, 0.5, 1, note))
        self.column = self.add(
            Column(
                "column",
                t("Column"),
                400.0,
                "mm",
                least=200.0,
                most=900.0,
                step=1.0,
                digits=0,
                change=note,
                marks=(200, 400, 600, 800),
            )
        )
        self.ring = self.add(Ring("ring", t("Aperture"), STOPS, "8", note))
        self.words = self.add(TextNote("words", t("Words on a card that are long enough to need two lines at least.")))
        self.long = self.add(LongNote("long", t("Long words"), tuple(f"Paragraph {n} of some." for n in range(30))))
        self.note = self.add(NoteField("note", t("Notes"), "", note, 80))
        self.locked = self.add(PushButton("locked", t("Locked one"), lambda: note("never")))
        self.locked.why_not = t("a later lesson opens it")
        self.ask = self.add(PushButton("ask", t("Throw away"), self._ask))

    def _lamp(self) -> None:
        self.lamp.lamp = not self.lamp.lamp

    def _ask(self) -> Outcome:
        answers = (Answer("yes", "Throw it away"), Answer("no", "Keep it"))
        return asked(
            Question(
                "Throw the sheet away?",
                "It has been exposed and cannot go back into the box.",
                answers,
                self.seen.append,
            )
        )

    def layout(self, area: Rect) -> None:
        look, x, y = self.room.look, area.x, area.y
        self.area = area
        columns: list[list[Any]] = [
            [self.press, self.lamp, self.rocker, self.locked, self.ask],
            [self.row, self.number, self.ring, self.words],
            [self.list, self.note],
            [self.long],
            [self.column],
        ]
        for controls, width in zip(columns, (200, 240, 200, 200, 110)):
            top = y
            for control in controls:
                height = max(control.wanted(look)[1], look.px(120) if control is self.long else 0)
                if isinstance(control, TextNote):
                    height = control.height_for(look, look.px(width))
                control.rect = Rect(x, top, look.px(width), height)
                top += height + look.px(14)
            x += look.px(width + 12)

    def act(self, action: str) -> Outcome:
        self.seen.append(action)
        return HANDLED

    def released(self, action: str) -> Outcome:
        self.letting_go.append(action)
        return HANDLED

    def draw(self, canvas: Canvas) -> None:
        canvas.panel(self.area.inflate(20, 20))
        super().draw(canvas)
