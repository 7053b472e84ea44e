"""The set-up: head, lens, carrier, paper, sheet, border, shifts, tilts and developer, on a board laid over the bench."""

from __future__ import annotations

from typing import Any

from pygame import Rect

from sim.window.dry.part import Part
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, Outcome
from sim.window.kit.notes import TextNote
from sim.window.kit.numbers import NumberField

LISTS = (("head", "Head"), ("lens", "Lens"), ("paper", "Paper"), ("sheet", "Sheet"))
NUMBERS = (
    ("border_mm", "Border mm", "", 0.5, 1), ("image_shift_x_mm", "Shift right mm", "", 1.0, 0),
    ("image_shift_y_mm", "Shift down mm", "", 1.0, 0), ("easel_tilt_deg", "Easel tilt", "°", 0.25, 2),
    ("negative_tilt_deg", "Carrier tilt", "°", 0.1, 1), ("development_time_s", "Developer time", "s", 5.0, 0),
    ("temperature_c", "Temperature", "°C", 0.5, 1),
)  # fmt: skip


class SetUpPart(Part):
    """What is chosen once for a print, not between two exposures."""

    def build(self) -> None:
        """Make lists, fields, choices and switches."""
        t = self.words
        self.lists = {name: self.add(ScrollList(f"{name}-list", t(label), [], "", self._set(name))) for name, label in LISTS}
        self.numbers = {
            name: self.add(NumberField(name.replace("_", "-"), t(label), 0.0, unit, 0.0, 1.0, step, digits, self._set(name)))
            for name, label, unit, step, digits in NUMBERS
        }
        carriers = [("glass", t("Glass")), ("glassless", t("Glassless"))]
        self.carrier = self.add(ChoiceRow("carrier", t("Carrier"), carriers, "glass", self._set("carrier")))
        ways = [("drawer", t("Graded set")), ("dials", t("Dials"))]
        self.filters = self.add(ChoiceRow("filtration", t("Filters"), ways, "drawer", self._filtration))
        self.contact = self.add(Toggle("contact", t("Contact frame"), False, self._set("contact")))
        self.flipped = self.add(Toggle("flipped", t("Negative flipped"), False, self._set("flipped")))
        self.reciprocity = self.add(Toggle("reciprocity", t("Reciprocity failure"), False, self._set("reciprocity")))
        self.usual = self.add(PushButton("usual", t("Usual for this film"), lambda: self.darkroom.desk.usual()))
        caution = t(
            "Heads, lamps and filters get hot: let them cool before you change them. Dry hands at everything on the mains. "
            "Local rules come first."
        )
        self.caution = TextNote("caution", caution, "small", soft=True)
        self.close = self.add(PushButton("set-up-close", t("Back to the easel"), lambda: self.screen.open("")))

    def _set(self, name: str):  # type: ignore[no-untyped-def]
        def change(value: Any) -> Outcome:
            self.darkroom.desk.set(name, value)
            self.screen.easel.forget()
            return HANDLED

        return change

    def _filtration(self, way: str) -> Outcome:
        self.darkroom.desk.set("filter", "none" if way == "dials" else "2")
        self.screen.dials = way == "dials"
        return HANDLED

    def layout(self, rect: Rect) -> None:
        """Four lists above, fields and switches below."""
        self.rect, px = rect, self.look.px
        inner = rect.inflate(-2 * px(14), -2 * px(12))
        row, inner = cut_bottom(inner, px(34), px(10))
        self.usual.rect, _, self.close.rect = columns(row, (3, 2, 3), px(8))
        high = self.carrier.wanted(self.look)[1]
        row, inner = cut_bottom(inner, px(30), px(8))
        self.contact.rect, self.flipped.rect, self.reciprocity.rect = columns(row, (4, 5, 5), px(8))
        row, inner = cut_bottom(inner, high, px(10))
        numbers = list(self.numbers.values())
        numbers[4].rect, numbers[5].rect, numbers[6].rect, self.filters.rect = columns(row, (1, 1, 1, 1.5), px(8))
        row, inner = cut_bottom(inner, high, px(8))
        places = columns(row, (1, 1, 1, 1, 1.3), px(8))
        for control, place in zip((*numbers[:4], self.carrier), places):
            control.rect = place
        self.title, inner = cut_top(inner, self.look.line_height("title"), px(8))
        self.caution.rect, inner = cut_top(inner, self.caution.height_for(self.look, inner.w), px(8))
        top, low = columns_of_lists(inner, px(10))
        for control, place in zip(self.lists.values(), (*top, *low)):
            control.rect = place

    def refresh(self) -> None:
        """Copy everything from the desk."""
        for name, control in self.lists.items():
            found = self.desk_control(control, name)
            control.rows = [Row(str(value), title) for value, title in zip(found.choices, found.choice_titles)]
        for name, field in self.numbers.items():
            found = self.desk_control(field, name)
            field.least, field.most = found.low, found.high
        for switch, name in ((self.contact, "contact"), (self.flipped, "flipped"), (self.reciprocity, "reciprocity")):
            self.desk_control(switch, name)
        self.desk_control(self.carrier, "carrier")
        self.filters.why_not = self.darkroom.desk.control("filter").locked or ""
        self.filters.value = "dials" if self.screen.dials else "drawer"

    def draw(self, canvas: Canvas) -> None:
        """Draw the board."""
        canvas.panel(self.rect)
        canvas.text(self.words("Set-up"), self.title.topleft, "title", "ink")
        self.caution.draw(canvas, False)


def columns_of_lists(rect: Rect, gap: int) -> tuple[list[Rect], list[Rect]]:
    """Return two rows of two."""
    top = Rect(rect.x, rect.y, rect.w, (rect.h - gap) // 2)
    low = Rect(rect.x, top.bottom + gap, rect.w, rect.h - top.h - gap)
    return columns(top, (8, 5), gap), columns(low, (8, 5), gap)  # what heads and papers are called is long
