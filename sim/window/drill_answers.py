"""How an item of a drill is answered: seconds, stops, a filter or one of its choices, and both where both are asked."""

from __future__ import annotations

from typing import Any

from pygame import Rect

from sim.window.kit.boxes import cut_left, cut_top
from sim.window.kit.choices import ChoiceRow
from sim.window.kit.control import Control
from sim.window.kit.numbers import NumberField
from sim.window.kit.screen import Screen

FIRST_SECONDS, FIRST_STOPS = 10.0, 0.0
FILTERS = ("00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5")


class AnswerPart:
    """The controls of an answer. A number counts only once a hand has been at it."""

    def __init__(self, screen: Screen):
        self.room = screen.room
        t = self.room.words.text
        self.asked: list[Control] = []
        self.touched: set[str] = set()
        self.seconds = screen.add(
            NumberField("drill-seconds", t("Seconds"), FIRST_SECONDS, "s", 0.1, 9999.0, 0.5, 1, self._seconds)
        )
        self.stops = screen.add(NumberField("drill-stops", t("Stops"), FIRST_STOPS, "", 0.0, 6.0, 0.25, 2, self._stops))
        options = [(name, name) for name in FILTERS]
        self.filter = screen.add(ChoiceRow("drill-filter", t("Filter"), options, ""))
        self.choice = screen.add(ChoiceRow("drill-choice", t("Your answer"), [], ""))

    def _seconds(self, _: float) -> None:
        self.touched.add("drill-seconds")

    def _stops(self, _: float) -> None:
        self.touched.add("drill-stops")

    def ask(self, item: Any) -> None:
        """Ask for what an item asks, from the beginning."""
        self.touched.clear()
        self.seconds.value, self.stops.value, self.filter.value = FIRST_SECONDS, FIRST_STOPS, ""
        self.choice.options, self.choice.value = [(one.key, one.key.replace("-", " ")) for one in item.choices], ""
        self.seconds.typed = self.stops.typed = ""
        wanted = (
            (self.seconds, item.answer_s), (self.stops, item.answer_stops), (self.filter, item.answer_filter),
            (self.choice, item.answer_choice or None),
        )  # fmt: skip
        self.asked = [control for control, answer in wanted if answer is not None]

    def first(self) -> Control | None:
        """Return the control that is answered first."""
        return self.asked[0] if self.asked else None

    def typed(self, focus: Control | None) -> NumberField | None:
        """Return the number that is being typed, if one is."""
        return focus if isinstance(focus, NumberField) and focus in self.asked and focus.typed else None

    def took(self, field: NumberField, refused: bool) -> None:
        """A number was handed over, maybe the one that stood there; or it was refused, then it does not count."""
        if refused:
            self.touched.discard(field.id)
        elif not field.typed:
            self.touched.add(field.id)

    def text(self) -> str:
        """Return the answer as the drill reads it; empty while something is missing."""
        parts = []
        for control in self.asked:
            if isinstance(control, ChoiceRow):
                parts.append(control.value)
            else:
                parts.append(f"{control.value:.2f}" if control.id in self.touched else "")
        return " ".join(parts) if all(parts) else ""

    def show(self, on: bool, locked: bool) -> None:
        """Show what is asked; a marked answer stays as it is."""
        words = self.room.words.text("it is marked")
        for control in (self.seconds, self.stops, self.filter, self.choice):
            control.visible = on and control in self.asked
            control.why_not = words if locked else ""

    def height(self) -> int:
        """Return the pixels the controls take."""
        look, gap = self.room.look, self.room.px(10)
        return sum(control.wanted(look)[1] + gap for control in self.asked) - gap if self.asked else gap

    def layout(self, rect: Rect) -> None:
        """One under the other; numbers as wide as they need."""
        look = self.room.look
        for control in self.asked:
            row, rect = cut_top(rect, control.wanted(look)[1], look.px(10))
            control.rect = row if isinstance(control, ChoiceRow) else cut_left(row, look.px(180))[0]
