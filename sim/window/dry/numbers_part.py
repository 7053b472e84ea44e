"""A card by numbers: everything a hand decides, as fields. It stands where the enlarger is, and closes again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pygame import Rect

from sim.window.dry.hand import HeldCard
from sim.window.dry.part import Part
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow
from sim.window.kit.numbers import NumberField

# id, label, field of the card, unit, least, most, step, digits
FIELDS: tuple[tuple[str, str, str, str, float, float, float, int], ...] = (
    ("card-x", "From left mm", "x_mm", "", -300.0, 900.0, 2.0, 0),
    ("card-y", "From top mm", "y_mm", "", -300.0, 900.0, 2.0, 0),
    ("card-width", "Width mm", "width_mm", "", 2.0, 600.0, 2.0, 0),
    ("card-length", "Length mm", "length_mm", "", 2.0, 600.0, 2.0, 0),
    ("card-height", "Height mm", "card_height_mm", "", 0.0, 500.0, 10.0, 0),
    ("card-angle", "Turned °", "angle_deg", "", 0.0, 360.0, 5.0, 0),
    ("card-amplitude", "Travel mm", "amplitude_mm", "", 0.0, 200.0, 1.0, 0),
    ("card-period", "One turn s", "period_s", "", 0.2, 30.0, 0.2, 1),
    ("card-from", "In at s", "start_s", "", 0.0, 600.0, 0.5, 1),
    ("card-to", "Out at s", "stop_s", "", 0.0, 600.0, 0.5, 1),
)


class NumbersPart(Part):
    """The fields show the chosen fixed card, or the one in hand; changing one changes the card at once."""

    def build(self) -> None:
        """Make a field per number, the motion, and the way back."""
        t = self.words
        self.fields = {
            name: self.add(NumberField(id_, t(label), 0.0, unit, least, most, step, digits, self._change(name)))
            for id_, label, name, unit, least, most, step, digits in FIELDS
        }
        motions = [("still", t("Still")), ("circling", t("Circling")), ("sweeping", t("To and fro"))]
        self.motion = self.add(ChoiceRow("card-motion", t("Kept moving"), motions, "still", self._change("motion")))
        self.hole = self.add(Toggle("card-hole", t("A hole, not a tool"), False, self._change("hole")))
        self.close = self.add(PushButton("numbers-close", t("Back to the enlarger"), lambda: self.screen.open("")))

    def _change(self, name: str):  # type: ignore[no-untyped-def]
        def change(value: Any) -> None:
            card: HeldCard | None = self.screen.hands.edited
            if card is not None:
                changed = {name: value}
                if name == "width_mm" and card.shape == "disc":
                    changed["length_mm"] = value
                self.screen.change_card(replace(card, **changed))

        return change

    def layout(self, rect: Rect) -> None:
        """Two fields side by side, five rows, motion and hole between."""
        self.rect, px = rect, self.look.px
        inner = rect.inflate(-2 * px(10), -2 * px(10))
        self.close.rect, inner = cut_bottom(inner, px(34), px(8))
        self.title, inner = cut_top(inner, self.look.line_height("strong"), px(6))
        high, pairs = self.motion.wanted(self.look)[1], list(self.fields.values())
        gap = max(px(3), min(px(10), (inner.h - 6 * high - px(28)) // 6))
        for n in range(0, len(pairs), 2):
            if n == 6:
                self.motion.rect, inner = cut_top(inner, high, gap)
            row, inner = cut_top(inner, high, gap)
            pairs[n].rect, pairs[n + 1].rect = columns(row, (1, 1), px(8))
        self.hole.rect, _ = cut_top(inner, px(28))

    def refresh(self) -> None:
        """Copy the card; what does not belong to its shape or motion is locked."""
        card = self.screen.hands.edited
        none = self.words("take a card from the rack first") if card is None else ""
        for name, field in self.fields.items():
            field.why_not = none
            if card is not None:
                field.value = getattr(card, name)
        self.motion.why_not = self.hole.why_not = none
        if card is None:
            return
        self.motion.value, self.hole.value = card.motion, card.hole
        if card.motion == "still":
            for name in ("amplitude_mm", "period_s"):
                self.fields[name].why_not = self.words("the card is held still")
        if card.shape == "disc":
            self.fields["length_mm"].why_not = self.words("a disc is as long as it is wide")
        if card.shape == "edge":
            for name in ("width_mm", "length_mm"):
                self.fields[name].why_not = self.words("a card's edge covers all beyond it")

    def draw(self, canvas: Canvas) -> None:
        """Draw the plate and the card's name."""
        canvas.panel(self.rect)
        card = self.screen.hands.edited
        words = self.words(card.name) if card else self.words("No card")
        canvas.text(words[:1].upper() + words[1:], self.title.topleft, "strong", "ink", room=self.title.w, shorten=True)
