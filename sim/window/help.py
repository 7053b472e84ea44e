"""Two sheets of paper laid over a place: what a control is for, and which key does what."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.keys import FIXED_KEYS, ROOM_ACTIONS, shown_chord
from sim.window.kit.action import Action
from sim.window.kit.boxes import columns
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.question import dim
from sim.window.kit.screen import Screen
from sim.window.room import Room


class HelpCard:
    """Explains one control, or the place where one stands."""

    def __init__(self, room: Room, screen: Screen, control: Control | None):
        t = room.words.text
        self.at: Rect | None = control.rect.copy() if control else None
        if control is None:
            self.title = t("Where you are")
            self.words = t(
                screen.HELP.get("place", "Point at something, or walk to it with the Tab key, and ask again.")
            )
            self.state = ""
            return
        self.title = control.label or t("Here")
        self.words = t(screen.help_for(control))
        state = control.spoken()
        self.state = t("Set to: {value}", value=state) if state else ""
        if control.why_not:
            self.state = t("Locked: {why}", why=control.why_not)

    def draw(self, canvas: Canvas) -> None:
        """Draw the card near the control, wholly inside the window."""
        look, window = canvas.look, canvas.surface.get_rect()
        dim(canvas)
        width = look.px(420)
        inner = width - look.px(40)
        line = look.line_height("body")
        words = len(look.wrapped(self.words, inner)) * line
        state = len(look.wrapped(self.state, inner)) * line if self.state else 0
        card = Rect(0, 0, width, words + state + look.px(74))
        if self.at is not None:
            pygame.draw.rect(
                canvas.surface,
                look.colour("focus"),
                self.at.inflate(look.px(6), look.px(6)),
                2,
                border_radius=look.px(7),
            )
            card.topleft = (self.at.x, self.at.bottom + look.px(12))
            if card.bottom > window.bottom - look.px(8):
                card.bottom = self.at.top - look.px(12)
        else:
            card.center = window.center
        card.clamp_ip(window.inflate(-look.px(16), -look.px(16)))
        pygame.draw.rect(canvas.surface, look.colour("panel"), card, border_radius=look.px(8))
        pygame.draw.rect(canvas.surface, look.colour("soft"), card, 1, border_radius=look.px(8))
        x, y = card.x + look.px(20), card.y + look.px(16)
        y = canvas.text(self.title, (x, y), "title", "ink", room=inner, shorten=True).bottom + look.px(8)
        y = canvas.lines(self.words, Rect(x, y, inner, words)).bottom + look.px(6)
        if state:
            canvas.lines(self.state, Rect(x, y, inner, state), "body", "soft")


def key_rows(room: Room, screen: Screen) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return everything a key does here, in groups of (keys as printed, what they do)."""
    t = room.words.text

    def listed(actions: Sequence[Action]) -> list[tuple[str, str]]:
        return [("  /  ".join(shown_chord(c) for c in room.keys.of(a)), t(a.label)) for a in actions]

    return [
        (t("At this place"), listed(screen.ACTIONS)),
        (t("Anywhere"), listed(ROOM_ACTIONS)),
        (t("In the controls"), [(shown_chord(chord), t(label)) for chord, label in FIXED_KEYS]),
    ]


def listed_chords(room: Room, screen: Screen) -> set[str]:
    """Return every chord that the key list shows here."""
    actions = (*screen.ACTIONS, *ROOM_ACTIONS)
    return {c for a in actions for c in room.keys.of(a)} | {c for c, _ in FIXED_KEYS}


class KeyList:
    """All keys, in three columns."""

    def __init__(self, room: Room, screen: Screen):
        self.title = room.words.text("Keys")
        self.groups = key_rows(room, screen)

    def draw(self, canvas: Canvas) -> None:
        """Draw the list over the whole window; the type is set smaller gaps, never smaller letters, when there is much."""
        look, window = canvas.look, canvas.surface.get_rect()
        dim(canvas)
        sheet = window.inflate(-look.px(48), -look.px(32))
        pygame.draw.rect(canvas.surface, look.colour("panel"), sheet, border_radius=look.px(8))
        pygame.draw.rect(canvas.surface, look.colour("soft"), sheet, 1, border_radius=look.px(8))
        inner = sheet.inflate(-look.px(32), -look.px(24))
        canvas.text(self.title, inner.topleft, "title")
        body = Rect(inner.x, inner.y + look.px(32), inner.w, inner.h - look.px(32))
        for (title, found), column in zip(self.groups, columns(body, [1, 1, 1], look.px(18))):
            canvas.text(title, column.topleft, "strong", "soft", room=column.w, shorten=True)
            self._draw_group(canvas, found, Rect(column.x, column.y + look.px(24), column.w, column.h - look.px(24)))

    def _draw_group(self, canvas: Canvas, found: list[tuple[str, str]], rect: Rect) -> None:
        look, line = canvas.look, canvas.look.line_height("small")
        wide = min(rect.w * 2 // 5, max((look.width(keys, "small") for keys, _ in found), default=0) + look.px(14))
        free = rect.h - sum(line * self._lines(canvas, label, rect.w - wide) for _, label in found)
        gap = max(0, min(look.px(6), free // max(1, len(found))))
        y = rect.y
        for keys, label in found:
            canvas.text(keys, (rect.x, y), "small", "ink", room=wide - look.px(6), shorten=True)
            rows = 2 if self._lines(canvas, label, rect.w - wide) > 1 else 1
            canvas.lines(label, Rect(rect.x + wide, y, rect.w - wide, rows * line), "small", "soft", shorten=True)
            y += rows * line + gap

    def _lines(self, canvas: Canvas, label: str, width: int) -> int:
        return min(2, len(canvas.look.wrapped(label, width, "small")))
