"""Preferences: size of type, light, sound, motion, language, beat, pages for the darkroom, keys: in force at once, and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from pygame import Rect

from sim.notebook.page_by_locale import page_by_locale
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom
from sim.window.kit.events import Key
from sim.window.preferences import LEAST_BEAT_S, SCALES
from sim.window.standing.keys import changeable, shown_keys, with_key
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import Row, along_the_foot, choice, stacked
from sim.words import PSEUDO, languages

SIZES = (0.0, *SCALES)
PAGES: tuple[Literal["", "a4", "letter"], ...] = ("", "a4", "letter")
LONGEST_BEAT_S, BEAT_STEP_S = 10.0, 0.1
MODIFIERS = frozenset(f"{side} {name}" for side in ("left", "right") for name in ("shift", "ctrl", "alt", "meta", "gui"))


class PreferencesSheet(Overlay):
    """Rows of what one may prefer."""

    share = (0.66, 0.88)

    def __init__(self, room: OneRoom):
        super().__init__(room, room.name("preferences"))
        self.rows = [
            choice(room, "pref scale", self._scale, self._turn_scale),
            choice(room, "pref light", lambda: room.line("light " + room.standing.safelight), self._turn_light),
            choice(room, "pref sound", lambda: self._on(room.preferences.sound), self._turn_sound),
            choice(room, "pref motion", lambda: self._on(room.preferences.reduced_motion), self._turn_motion),
            choice(room, "pref language", lambda: room.preferences.language, self._turn_language),
            choice(room, "pref beat", lambda: f"{room.number(room.preferences.beat_s)} s", self._turn_beat, self._write_beat),
            choice(room, "pref page", self._page, self._turn_page),
            choice(room, "pref type", self._type, self._turn_type),
        ]
        self.keys = Plate(room, "keys", self._open_keys)

    def _on(self, on: bool) -> str:
        return self.room.line("on" if on else "off")

    def _scale(self) -> str:
        scale = self.room.preferences.scale
        if not scale:
            return self.room.line("by the window")
        shown = self.room.look.scale
        wanted = f"{scale * 100:.0f} %"
        return wanted if abs(shown - scale) < 0.01 else self.room.line("held down", wanted=wanted, shown=f"{shown * 100:.0f} %")

    def _prefer(self, **changes: object) -> None:
        self.room.prefer(replace(self.room.preferences, **changes))  # type: ignore[arg-type]

    def _turn_scale(self, steps: int) -> None:
        here = SIZES.index(self.room.preferences.scale) if self.room.preferences.scale in SIZES else 0
        self._prefer(scale=SIZES[(here + steps) % len(SIZES)])

    def _turn_light(self, steps: int) -> None:
        self.room.stand(safelight="red" if self.room.standing.safelight == "amber" else "amber")

    def _turn_sound(self, steps: int) -> None:
        self._prefer(sound=not self.room.preferences.sound)

    def _turn_motion(self, steps: int) -> None:
        self._prefer(reduced_motion=not self.room.preferences.reduced_motion)

    def _turn_language(self, steps: int) -> None:
        there = [*languages(), PSEUDO]
        here = there.index(self.room.preferences.language) if self.room.preferences.language in there else 0
        self._prefer(language=there[(here + steps) % len(there)])
        self.room.wanted_over = lambda: PreferencesSheet(self.room)

    def _page(self) -> str:
        """The paper that pages for the darkroom are printed on; guessed where nobody chose it."""
        chosen = self.room.preferences.page
        return self.room.line("page " + chosen) if chosen else self.room.line(
            "page by locale", page=self.room.line("page " + page_by_locale())
        )  # fmt: skip

    def _turn_page(self, steps: int) -> None:
        self._prefer(page=PAGES[(PAGES.index(self.room.preferences.page) + steps) % len(PAGES)])

    def _type(self) -> str:
        return self.room.line("type larger" if self.room.preferences.large_type else "type usual")

    def _turn_type(self, steps: int) -> None:
        self._prefer(large_type=not self.room.preferences.large_type)

    def _turn_beat(self, steps: int) -> None:
        self._write_beat(self.room.preferences.beat_s + steps * BEAT_STEP_S)

    def _write_beat(self, seconds: float) -> None:
        self._prefer(beat_s=round(min(LONGEST_BEAT_S, max(LEAST_BEAT_S, seconds)), 1))

    def _open_keys(self) -> None:
        self.room.wanted_over = lambda: KeysSheet(self.room)

    def things(self) -> Sequence[Thing]:
        """Return rows and plates."""
        return [*self.rows, self.keys, self.done]

    def lay_out(self, area: Rect) -> None:
        """Rows below each other."""
        super().lay_out(area)
        look = self.room.look
        tall = along_the_foot((self.done,), self.inner, look.px(10))
        stacked(self.rows, cut_bottom(self.inner, tall, look.px(6))[1], look.line_height() + look.px(12))
        self.keys.rect = Rect((self.inner.x, self.inner.bottom - tall), self.keys.wanted())


class KeyRow(Row):
    """A key and what it does: pressed, the next key is the one it shall have."""

    def __init__(self, room: OneRoom, place: str, usual: str, words: str):
        super().__init__(room, f"key {place} {usual}", words, self._said, lambda steps, fine: self.pressed())
        self._place, self._usual = place, usual
        self.waits = False

    def _said(self) -> str:
        if self.waits:
            return self.room.line("press key")
        return shown_keys(self._place, self._usual, self.room.keys, self.room.words)

    def about(self) -> str:
        """How it is changed."""
        return self.room.line("row key")

    def pressed(self) -> None:
        """Wait for the key."""
        self.waits = True

    def left(self) -> None:
        """Nothing was pressed: it stays."""
        self.waits = False

    def key(self, key: Key) -> bool:
        """The key it shall have; Escape leaves it, Delete gives back the usual one."""
        if not self.waits:
            return False
        if key.name in MODIFIERS:
            return True
        self.waits = False
        if key.name == "escape":
            return True
        chord = self._usual if key.name == "delete" and self._usual != "delete" else key.chord
        chosen = with_key(self._place, self._usual, chord, self.room.keys)
        self.room.prefer(self.room.preferences.with_keys(chosen))
        return True


class KeysSheet(Overlay):
    """Every key that may be another one."""

    share = (0.8, 0.94)

    def __init__(self, room: OneRoom):
        super().__init__(room, room.name("keys"))
        t = room.words.text
        self.rows = [KeyRow(room, place, usual, t(words)) for place, usual, words in changeable()]
        self.forget = Plate(room, "usual keys", self._forget)
        self.more = Plate(room, "more keys", lambda: self._scroll(self._per_page))
        self._first, self._per_page = 0, 1

    def _forget(self) -> None:
        self.room.prefer(self.room.preferences.with_keys({}))

    def _scroll(self, rows: int) -> None:
        self._first += rows
        if self._first >= len(self.rows) or self._first < 0:
            self._first = 0

    def things(self) -> Sequence[Thing]:
        """Return what is in view."""
        return [*self.rows[self._first : self._first + self._per_page], self.forget, self.more, self.done]

    def lay_out(self, area: Rect) -> None:
        """As many rows as there is room for."""
        super().lay_out(area)
        look = self.room.look
        high = look.line_height("small") + look.px(10)
        tall = along_the_foot((self.done, self.more), self.inner, look.px(10))
        self.forget.rect = Rect((self.inner.x, self.inner.bottom - tall), self.forget.wanted())
        self._per_page = max(1, (self.inner.h - tall - look.px(6)) // high)
        for n, row in enumerate(self.rows):
            row.rect = Rect(self.inner.x, self.inner.y + (n - self._first) * high, self.inner.w, high - look.px(2))

    def key(self, key: Key) -> bool:
        """Turn pages."""
        steps = {"pagedown": self._per_page, "pageup": -self._per_page, "wheel-down": 3, "wheel-up": -3}.get(key.chord)
        if steps is not None:
            self._scroll(steps)
        return steps is not None
