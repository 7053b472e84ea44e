"""Under the easel: the paper box at the left, the rack with its cards at the right."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.dry.card_drawing import card_icon
from sim.window.dry.hand import RACK
from sim.window.dry.paper_box import draw_box, sheets_in_words
from sim.window.dry.part import Part
from sim.window.kit.boxes import cut_left, inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look


class ToolRack(Control):
    """Hooks side by side. A press takes the tool (or hangs it back); left and right walk, Enter takes."""

    def __init__(self, part: RackPart, label: str):
        super().__init__("rack", label)
        self._part = part
        self.at = 0

    def spoken(self) -> str:
        """The tool under the keyboard."""
        return RACK[self.at].name

    def hooks(self) -> list[Rect]:
        """Return one rectangle per tool."""
        wide = self.rect.w / len(RACK)
        return [
            Rect(self.rect.x + round(n * wide), self.rect.y, round((n + 1) * wide) - round(n * wide), self.rect.h)
            for n in range(len(RACK))
        ]

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Take a tool."""
        if event.kind == "down" and event.button == 1:
            for n, hook in enumerate(self.hooks()):
                if hook.collidepoint(event.pos):
                    self.at = n
                    outcome = self._part.screen.pick_up(n)
                    self._part.screen.card_away()  # the hand is at the rack; the card comes into the light with it
                    return outcome
        return HANDLED if event.kind in ("down", "up") else UNUSED

    def key(self, event: Key) -> Outcome:
        """Walk along the hooks; Enter or space takes what hangs there."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("left", "right"):
            self.at = max(0, min(len(RACK) - 1, self.at + (1 if event.name == "right" else -1)))
            return HANDLED
        if event.name in ("return", "enter", "space"):
            return self._part.screen.pick_up(self.at)
        return UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw rail, tools, their keys, and the seconds each was in the light."""
        look, px = canvas.look, canvas.look.px
        hands, seconds = self._part.screen.hands, self._part.screen.lamp.card_seconds
        rail = Rect(self.rect.x, self.rect.y + px(2), self.rect.w, px(4))
        pygame.draw.rect(canvas.surface, look.colour("edge"), rail, border_radius=px(2))
        for n, (tool, hook) in enumerate(zip(RACK, self.hooks())):
            held = hands.held is not None and hands.held.name == tool.name
            most = max(tool.width_mm, tool.length_mm, 60.0)
            shares = (tool.width_mm / most, tool.length_mm / most)
            line = look.line_height("small")
            size = (min(hook.w - px(6), (hook.h - line) * 13 // 10), hook.h - line - px(10))
            key = ("tool", size, tool.name, held)
            icon = look.keep(key, lambda: card_icon(look, size, tool.shape, shares, tool.hole, held))  # noqa: B023
            canvas.surface.blit(icon, (hook.centerx - size[0] // 2, hook.y + px(8)))
            pygame.draw.circle(canvas.surface, look.colour("soft"), (hook.centerx, rail.centery), px(3))
            words = f"{seconds[tool.name]:.1f} s" if tool.name in seconds else str(n + 1)
            if self.why_not:
                canvas.mark("lock", (hook.centerx, hook.bottom - line // 2), line - px(2), "soft")
                canvas.hit(f"rack:{n}", hook)
                continue
            colour = "ink" if held or tool.name in seconds else "soft"
            canvas.text(words, (hook.centerx, hook.bottom), "small", colour, "midbottom", hook.w, shorten=True)
            canvas.hit(f"rack:{n}", hook)
            if held:
                frame = hook.inflate(-px(2), 0)
                pygame.draw.rect(canvas.surface, look.colour("lamp"), frame, max(1, px(1)), border_radius=px(4))
        if focused:
            canvas.focus_ring(self.hooks()[self.at])


class RackPart(Part):
    """Box and rack."""

    def build(self) -> None:
        """Make the rack."""
        self.rack = self.add(ToolRack(self, self.words("Rack of cards")))

    def layout(self, rect: Rect) -> None:
        """The box keeps its shape."""
        self.rect, px = rect, self.look.px
        inner = inset(rect, px(12), px(8))
        left, rest = cut_left(inner, px(96), px(14))
        self.box = left
        self.rack.rect = Rect(rest.x, rest.y, min(rest.w, px(760)), rest.h)
        self.rack.rect.right = rest.right

    def refresh(self) -> None:
        """In a lesson that does not practise it the rack is locked."""
        self.rack.why_not = self.darkroom.locked("cards") or ""

    def draw(self, canvas: Canvas) -> None:
        """Draw the box with what is left in it."""
        look, px = canvas.look, canvas.look.px
        canvas.panel(self.rect)
        sheets = self.darkroom.sheets_left
        line = look.line_height("small")
        box = Rect(self.box.x, self.box.y, self.box.w, self.box.h - line - px(3))
        draw_box(canvas, box, sheets, self.darkroom.evening.state.opening.sheets)
        at, room = (self.box.centerx, self.box.bottom), self.box.w + px(12)
        canvas.text(self._left(sheets), at, "small", "ink", "midbottom", room, shorten=True)

    def _left(self, sheets: float) -> str:
        if sheets == 1:
            return self.words("1 sheet left")
        return self.words("{sheets} sheets left", sheets=sheets_in_words(sheets) or "0")
