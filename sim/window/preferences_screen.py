"""Preferences: scale, language, motion, sound, the counting beat, and one's own keys."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from pygame import Rect

from sim.window.chosen_keys import shown_chord
from sim.window.keys_of_every_place import ROOM_ACTIONS
from sim.window.kit.action import Action
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, Event, Key, Outcome, Pointer, said, warned
from sim.window.kit.look import LEAST_ROOM
from sim.window.kit.notes import TextNote
from sim.window.kit.numbers import NumberField
from sim.window.kit.screen import Screen
from sim.window.preferences import LEAST_BEAT_S, SCALES, Preferences
from sim.window.stations import PLACES, open_place
from sim.words import languages

NATIVE_NAMES = {"en": "English", "en-XA": "Long words", "de": "Deutsch", "fr": "Français"}
SAME_SCALE = 0.01
NOT_IN_THE_ROW = (("drills", "Drills"), ("start", "The door"))  # places with keys of their own beside those in the row
WITH_KEYS = (*PLACES, *NOT_IN_THE_ROW)


class PreferencesScreen(Screen):
    """What suits one person; kept at once."""

    NAME = "preferences"
    HELP: ClassVar[dict[str, str]] = {
        "place": "What suits you; every change is kept at once. Press Escape to go back.",
        "scale": "How large everything is drawn. It is held down where the window has no room for more.",
        "language": "The language of the words on the screen.",
        "reduced-motion": "With it, the print in the tray and the lamp come in steps instead of moving.",
        "sound": "A tick for every beat. The lamp in the top row blinks in any case.",
        "beat": "How long one beat of the counting lamp lasts. It starts and stops with its own key.",
        "keys": "Every action and its key. Press Enter on a row, then the key you want for it.",
        "forget-keys": "Puts back the keys that come with the places.",
        "back": "Back to where you were.",
    }

    def build(self) -> None:
        """Make the controls."""
        t, kept = self.room.words.text, self.room.preferences
        scales = [("0", t("By screen")), *((f"{s:g}", f"{s:.0%}") for s in SCALES)]
        self.scale = self.add(ChoiceRow("scale", t("Scale"), scales, f"{kept.scale:g}", self._scaled))
        names = languages() if kept.language in languages() else [*languages(), kept.language]
        options = [(name, NATIVE_NAMES.get(name, name)) for name in names]
        self.language = self.add(ChoiceRow("language", t("Language"), options, kept.language, self._language))
        self.motion = self.add(Toggle("reduced-motion", t("Less motion"), kept.reduced_motion, self._motion))
        self.sound = self.add(Toggle("sound", t("Tick at every beat"), kept.sound, self._sound))
        self.beat = self.add(
            NumberField("beat", t("Length of a beat"), kept.beat_s, "s", LEAST_BEAT_S, 10.0, 0.1, 1, self._beat)
        )
        self.held_down = TextNote("held-down", "", soft=True, shorten=True)
        self.keys = self.add(ScrollList("keys", t("Your keys"), [], "", open=self._ask_key))
        self.forget = self.add(PushButton("forget-keys", t("Put the usual keys back"), self._forget))
        self.back = self.add(PushButton("back", t("Back"), lambda: Outcome(go_to="back")))
        self.waiting_for = ""
        self._found: dict[str, Action] = {}
        self._list_keys()

    def _list_keys(self) -> None:
        """List room-wide actions and those of every place; places are built only to be asked."""
        rows: list[Row] = []
        self._found = {}
        groups = [
            ("", ROOM_ACTIONS),
            *((label, open_place(name, self.room).ACTIONS) for name, label in WITH_KEYS if self._there(name)),
        ]
        for place, actions in groups:
            for action in actions:
                if action.id in self._found:
                    continue
                self._found[action.id] = action
                chords = " / ".join(shown_chord(c) for c in self.room.keys.of(action))
                where = f"{self.room.words.text(place)}: " if place else ""
                rows.append(Row(action.id, where + self.room.words.text(action.label), chords))
        self.keys.rows = rows

    def _there(self, name: str) -> bool:
        try:
            open_place(name, self.room)
        except ImportError:
            return False
        return True

    def layout(self, area: Rect) -> None:
        """Two columns: what is seen and heard at the left, keys at the right."""
        look = self.room.look
        left, right = columns(area, [10, 11], look.px(24))
        self.plates = (left, right)
        pad = look.px(16)
        inner = left.inflate(-2 * pad, -2 * pad)
        _, inner = cut_top(inner, look.px(30))
        for control, height in (
            (self.scale, 54),
            (self.language, 54),
            (self.motion, 34),
            (self.sound, 34),
            (self.beat, 54),
        ):
            control.rect, inner = cut_top(inner, look.px(height), look.px(16))
        self.beat.rect.w = min(self.beat.rect.w, look.px(180))
        self.held_down.rect = inner
        self.held_down.text = self._held_down()
        inner = right.inflate(-2 * pad, -2 * pad)
        foot, self.keys.rect = cut_bottom(inner, look.px(34), look.px(14))
        width = min(foot.w - look.px(120), self.forget.wanted(look)[0])
        self.forget.rect = Rect(foot.x, foot.y, width, foot.h)
        self.back.rect = Rect(foot.right - look.px(100), foot.y, look.px(100), foot.h)

    def _held_down(self) -> str:
        """Say in words that the window has no room for the scale that is wanted."""
        t, room = self.room.words.text, self.room
        if room.too_small:
            return t(
                "The window is smaller than the {wide} × {high} points this room needs: everything is drawn smaller. "
                "Make the window larger.", wide=LEAST_ROOM[0], high=LEAST_ROOM[1],
            )  # fmt: skip
        if room.scale_wanted <= room.look.scale + SAME_SCALE:
            return ""
        return t(
            "{wanted} is wanted, but this window has room for {shown} only. In a larger window it is shown as chosen.",
            wanted=f"{room.scale_wanted:.0%}", shown=f"{room.look.scale:.0%}",
        )  # fmt: skip

    def _prefer(self, **changes: object) -> Outcome:
        return Outcome(prefer=replace(self.room.preferences, **changes))  # type: ignore[arg-type]

    def _scaled(self, value: str) -> Outcome:
        return self._prefer(scale=float(value))

    def _language(self, value: str) -> Outcome:
        return self._prefer(language=value)

    def _motion(self, value: bool) -> Outcome:
        return self._prefer(reduced_motion=value)

    def _sound(self, value: bool) -> Outcome:
        return self._prefer(sound=value)

    def _beat(self, value: float) -> Outcome:
        return self._prefer(beat_s=value)

    def _ask_key(self, action: str) -> Outcome:
        self.waiting_for = action
        return said(
            self.room.words.text(
                "Press the key for: {what}. Escape leaves it as it is.",
                what=self.room.words.text(self._found[action].label),
            )
        )

    def handle(self, event: Event) -> Outcome:
        """While a key is awaited, the next key is it."""
        if self.waiting_for and isinstance(event, Pointer) and event.kind == "down":
            self.waiting_for = ""
        if not self.waiting_for or not isinstance(event, Key):
            return super().handle(event)
        if not event.down or event.name in (
            "left shift",
            "right shift",
            "left ctrl",
            "right ctrl",
            "left alt",
            "right alt",
        ):
            return HANDLED
        action, self.waiting_for = self._found[self.waiting_for], ""
        if event.name == "escape":
            return said(self.room.words.text("The key stays as it is."))
        return self._given(action, event.chord)

    def _given(self, action: Action, chord: str) -> Outcome:
        t = self.room.words.text
        others = [a for a in self._found.values() if self._meet(a, action)]
        clash = self.room.keys.clash(action, chord, others)
        if clash:
            return warned(t("{key} already does something: {what}", key=shown_chord(chord), what=t(clash)))
        self.room.keys.choose(action, chord)
        return Outcome(say=t("{key} it is.", key=shown_chord(chord)), prefer=self._kept())

    def _meet(self, one: Action, other: Action) -> bool:
        """Whether two actions can be wanted at the same place: room-wide ones meet everything."""
        if one in ROOM_ACTIONS or other in ROOM_ACTIONS:
            return True
        return any(
            one in p and other in p for p in (open_place(n, self.room).ACTIONS for n, _ in WITH_KEYS if self._there(n))
        )

    def _kept(self) -> Preferences:
        return self.room.preferences.with_keys(self.room.keys.chosen)

    def _forget(self) -> Outcome:
        self.room.keys.forget()
        return Outcome(say=self.room.words.text("The usual keys are back."), prefer=self._kept())

    def draw(self, canvas: Canvas) -> None:
        """Two plates and the controls."""
        t = self.room.words.text
        canvas.panel(self.plates[0], t("Preferences"))
        canvas.panel(self.plates[1])
        if self.held_down.text:
            self.held_down.draw(canvas, False)
        super().draw(canvas)
