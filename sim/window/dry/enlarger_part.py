"""The enlarger at the left: head on its column, focus ring, red filter, focusing light, and what to change it with."""

from __future__ import annotations

from pygame import Rect

from sim.window.dry.enlarger_view import EnlargerPlan, EnlargerState, draw_enlarger, head_rect, plan_of
from sim.window.dry.part import Part
from sim.window.kit.boxes import columns, cut_bottom
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look
from sim.window.kit.numbers import NumberField

STEP_MM = 1.0


class HeadOnColumn(Control):
    """The enlarger itself: its head is taken hold of and moved, or stepped with the arrows."""

    def __init__(self, part: EnlargerPart, label: str):
        super().__init__("head-on-column", label)
        self._part = part
        self._grip_mm: float | None = None

    @property
    def plan(self) -> EnlargerPlan:
        """Where the parts stand."""
        state = self._part.state()
        return plan_of(self._part.look, self.rect, state.low_mm, state.high_mm)

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Dragged by lamp house or carriage; the wheel moves it by millimetres."""
        plan, state = self.plan, self._part.state()
        if event.kind == "wheel":
            return self._part.raise_head(event.steps * (10 if event.shift else 1) * STEP_MM)
        if event.kind == "down" and event.button == 1:
            on_head = head_rect(look, plan, state).collidepoint(event.pos)
            self._grip_mm = state.height_mm - plan.height_at(event.pos[1]) if on_head else None
            return HANDLED
        if event.kind in ("move", "up") and self._grip_mm is not None:
            wanted = round(plan.height_at(event.pos[1]) + self._grip_mm)
            if event.kind == "up":
                self._grip_mm = None
                return self._part.wish_height(wanted, now=True)
            return self._part.wish_height(wanted) if 1 in event.buttons else HANDLED
        return HANDLED if event.kind == "up" else UNUSED

    def key(self, event: Key) -> Outcome:
        """Up and down by a millimetre, with Shift by ten."""
        steps = {"up": 1, "down": -1}.get(event.name)
        if steps is None or not event.down or event.control or event.alt:
            return UNUSED
        return self._part.raise_head(steps * (10 if event.shift else 1) * STEP_MM)

    def spoken(self) -> str:
        """The height in words."""
        return f"{self._part.state().height_mm:.0f} mm"

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw it as it stands."""
        draw_enlarger(canvas, self.plan, self._part.state(hot=self.hot))
        if focused:
            canvas.focus_ring(self.rect)


class EnlargerPart(Part):
    """Everything about the enlarger that is worked before the lamp goes on."""

    _wish_mm: float | None = None

    def build(self) -> None:
        """Make head, height, focus, switches and the two drawers."""
        t, desk = self.words, self.darkroom.desk
        self.head = self.add(HeadOnColumn(self, t("Head on the column")))
        self.height = self.add(NumberField("height", t("Column mm"), 400.0, "", 180.0, 1200.0, 1.0, 0, self.set_height))
        self.focus = self.add(NumberField("focus", t("Focus mm"), 0.0, "", -5.0, 5.0, 0.05, 2, self.set_focus))
        self.light = self.add(Toggle("focus-light", t("Focusing light"), False, self.set_light))
        self.red = self.add(Toggle("red-filter", t("Red filter"), False, lambda v: desk.set("red_filter", v)))
        self.loupe = self.add(Toggle("loupe", t("Loupe"), False, self.set_loupe))
        self.sharp = self.add(PushButton("sharp", t("Sharp"), lambda: self.darkroom.desk.focus()))
        self.hold = self.add(PushButton("hold-light", t("Hold light"), self.screen.hold_reference))
        self.keep = self.add(PushButton("keep-tone", t("Keep tone"), self.screen.keep_tone))
        self.negatives = self.add(PushButton("negatives", t("Negatives"), lambda: self.screen.open("negatives")))
        self.set_up = self.add(PushButton("set-up", t("Set-up"), lambda: self.screen.open("set-up")))

    def state(self, hot: bool = False) -> EnlargerState:
        """Return how the enlarger stands, for drawing it."""
        desk, now = self.darkroom.desk, self.darkroom.desk.now
        found = desk.control("height_mm")
        lit = self.darkroom.easel.lit
        card = self.screen.hands.over_easel
        return EnlargerState(
            self._wish_mm if self._wish_mm is not None else now.height_mm, found.low, found.high, now.ring_mm,
            desk.image_size_mm[0], ("red" if now.red_filter else "white") if lit else "off", now.red_filter, now.contact,
            card.card_height_mm if card else None, hot,
        )  # fmt: skip

    def wish_height(self, height_mm: float, now: bool = False) -> Outcome:
        """Remember where a drag wants the head; it is moved there once a frame, or at once when the hand lets go."""
        self._wish_mm = height_mm
        return self.apply() if now else HANDLED

    def apply(self) -> Outcome:
        """Move the head to where the hand wants it."""
        wish, self._wish_mm = self._wish_mm, None
        if wish is not None:
            self.set_height(wish)
        return HANDLED

    def raise_head(self, by_mm: float) -> Outcome:
        """Move the head by millimetres, held to the column."""
        found = self.darkroom.desk.control("height_mm")
        self.set_height(min(found.high, max(found.low, found.value + by_mm)))
        return HANDLED

    def set_height(self, height_mm: float) -> None:
        """Set the column; the focus ring stays where it is."""
        self.darkroom.desk.set("height_mm", round(float(height_mm), 1))

    def set_focus(self, offset_mm: float) -> None:
        """Turn the focus ring."""
        self.darkroom.desk.set("focus_offset_mm", round(offset_mm, 3))

    def set_light(self, on: bool) -> None:
        """Switch the focusing light."""
        self.darkroom.desk.set("focus_light", on)

    def set_loupe(self, on: bool) -> None:
        """Put the loupe down at the probe, or take it away."""
        self.screen.easel.loupe_on = on
        self.screen.easel.forget()

    def layout(self, rect: Rect) -> None:
        """The picture takes what the controls leave."""
        self.rect, px = rect, self.look.px
        row, rest = cut_bottom(rect, px(34), px(8))
        self.negatives.rect, self.set_up.rect = columns(row, (1, 1), px(8))
        row, rest = cut_bottom(rest, px(34), px(8))
        self.hold.rect, self.keep.rect = columns(row, (1, 1), px(8))
        row, rest = cut_bottom(rest, px(34), px(6))
        self.loupe.rect, self.sharp.rect = columns(row, (1, 1), px(8))
        self.light.rect, rest = cut_bottom(rest, px(28), px(2))
        self.red.rect, rest = cut_bottom(rest, px(28), px(2))
        row, rest = cut_bottom(rest, self.height.wanted(self.look)[1], px(6))
        self.height.rect, self.focus.rect = columns(row, (1, 1), px(8))
        self.size_line, self.head.rect = cut_bottom(rest, self.look.line_height("small"), px(4))

    def refresh(self) -> None:
        """Copy height, focus and switches."""
        for control, name in ((self.height, "height_mm"), (self.focus, "focus_offset_mm")):
            found = self.desk_control(control, name)
            control.least, control.most = found.low, found.high
        self.head.why_not = self.height.why_not
        self.desk_control(self.light, "focus_light")
        self.desk_control(self.red, "red_filter")
        self.loupe.value = self.screen.easel.loupe_on

    def draw(self, canvas: Canvas) -> None:
        """Write the size of the picture and how much larger than the film it is."""
        wide, high = self.darkroom.desk.image_size_mm
        words = self.words("picture {wide} × {high} mm, {times}×", wide=f"{wide:.0f}", high=f"{high:.0f}",
                           times=f"{self.darkroom.desk.magnification:.2f}")  # fmt: skip
        canvas.text(words, self.size_line.midleft, "small", "soft", "midleft", self.size_line.w, shorten=True)
