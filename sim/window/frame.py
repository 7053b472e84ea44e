"""What stands round every place: the row of places at the top, the box and the evening, and the foot line."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pygame
from pygame import Rect

from sim.window.chosen_keys import shown_chord
from sim.window.dry.paper_box import sheets_in_words
from sim.window.keys_of_every_place import ROOM_ACTIONS
from sim.window.kit.boxes import cut_bottom, cut_top, inset
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer, went
from sim.window.kit.look import Look
from sim.window.kit.screen import Screen
from sim.window.lesson_band import ONE_LINE, ROOMY, THREE_LINES, LessonBand
from sim.window.room import Room
from sim.window.stations import PLACES

HELP = {
    "place-enlarger": "The dry side: the enlarger, its easel and timer, the filters, the cards, and the paper you take "
    "from the box.",
    "place-wet-bench": "The wet side: developer, stop bath, fixer and wash. A sheet comes here after its exposure.",
    "place-wall": "Where finished prints hang under white light, to be read, compared, and one of them named as the "
    "sheet that counts.",
    "place-notebook": "What was done this evening, sheet by sheet: times, apertures, filters, cards, and what you wrote.",
    "place-lessons": "The syllabus: exercises in order, with what you have already shown you can do.",
    "lesson-band": "The steps of the lesson under way. Its ends turn them, its middle takes you to the lesson.",
    "show-help": "Explains what is under the pointer or has the keyboard's focus.",
    "show-keys": "Lists every key that does something here. Most can be changed in the preferences.",
    "show-preferences": "Scale, language, motion, sound, the counting beat, and your own keys.",
}
TOP, FOOT, MARGIN = 46, 34, 12
STATUS = 350
WORKING = ("enlarger", "wet-bench", "wall", "notebook")  # where the lesson's steps stay in sight


class PlaceTab(Control):
    """A card in the row at the top: press it to walk to a place."""

    def __init__(self, place: str, label: str, go: Callable[[str], Outcome]):
        super().__init__(f"place-{place}", label)
        self.place = place
        self.go = go
        self.here = False
        self.here_words = ""

    def wanted(self, look: Look) -> tuple[int, int]:
        """As wide as its words in bold."""
        return look.width(self.label, "strong") + look.px(30), look.px(TOP)

    def spoken(self) -> str:
        """Whether this is where one stands."""
        return self.here_words if self.here else ""

    def _walk(self) -> Outcome:
        return self.refused() if self.locked else self.go(self.place)

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press walks there."""
        if event.kind == "down" and event.button == 1:
            return self._walk()
        return HANDLED if event.kind == "up" else UNUSED

    def key(self, event: Key) -> Outcome:
        """Enter and the space bar walk there."""
        if event.down and event.name in ("return", "enter", "space") and not event.control:
            return HANDLED if event.repeat else self._walk()
        return UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """The card of the place one stands in is raised, bold, and carries a lit bar; a closed place has a lock."""
        look, rect = canvas.look, self.rect
        card = Rect(rect.x, rect.y + look.px(7), rect.w, rect.h - look.px(7))
        if self.here:
            corners = {"border_top_left_radius": look.px(6), "border_top_right_radius": look.px(6)}
            pygame.draw.rect(canvas.surface, look.colour("ground"), card, **corners)
            bar = Rect(card.x + look.px(6), card.y, card.w - look.px(12), look.px(3))
            pygame.draw.rect(canvas.surface, look.colour("lamp"), bar)
        size = "strong" if self.here else "body"
        colour = "ink" if self.here or (self.hot and not self.locked) else "soft"
        sign = look.px(14) if self.locked else 0
        centre = (card.centerx + sign // 2, card.centery)
        drawn = canvas.text(self.label, centre, size, colour, "center", rect.w - look.px(6) - sign, shorten=True)
        if self.locked:
            canvas.mark("lock", (drawn.x - look.px(8), card.centery), look.px(11), "soft")
        if focused:
            canvas.focus_ring(card.inflate(-look.px(8), -look.px(8)))


class Frame:
    """The controls round every place, and how they are laid out and drawn."""

    def __init__(self, room: Room, act: Callable[[str], Outcome]):
        self.room = room
        t = room.words.text
        self.tabs = [PlaceTab(name, t(label), went) for name, label in PLACES]
        for tab in self.tabs:
            tab.here_words = t("you are here")
        by_id = {action.id: action for action in ROOM_ACTIONS}
        self.feet: list[PushButton] = []
        feet = (("show-help", t("Help"), "help"), ("show-keys", t("Keys"), "key-list"))
        for name, label, action in (*feet, ("show-preferences", t("Preferences"), "preferences")):
            chord = shown_chord(room.keys.of(by_id[action])[0])
            self.feet.append(PushButton(name, f"{label}  {chord}", partial(act, action)))
        self.band = LessonBand(t("The lesson's steps"), _steps(room))
        room.frame = [*self.tabs, self.band, *self.feet]
        room.frame_help = HELP
        self.top = self.foot = Rect(0, 0, 0, 0)
        self._status = ""

    def layout(self, window: Rect) -> Rect:
        """Lay out rows and buttons; returns what is left for the place."""
        look = self.room.look
        self.top, rest = cut_top(window, look.px(TOP))
        self.foot, rest = cut_bottom(rest, look.px(FOOT))
        wanted = [tab.wanted(look)[0] for tab in self.tabs]
        share = min(1.0, (window.w - look.px(MARGIN + STATUS)) / max(1, sum(wanted)))
        x = look.px(MARGIN)
        for tab, width in zip(self.tabs, wanted):
            tab.rect = Rect(x, self.top.y, int(width * share), self.top.h)
            x = tab.rect.right
        right = window.w - look.px(MARGIN)
        for button in reversed(self.feet):
            width = min(button.wanted(look)[0], window.w // 6)
            button.rect = Rect(right - width, self.foot.y + look.px(4), width, look.px(FOOT - 8))
            right -= width + look.px(6)
        inner = inset(rest, look.px(MARGIN), look.px(MARGIN))
        self.band.rect = Rect(inner.topleft, (0, 0))
        if self.band.visible:
            lines = ONE_LINE if window.h < look.px(ROOMY) else THREE_LINES
            self.band.rect, inner = cut_top(inner, look.px(lines), look.px(10))
        return inner

    def stand(self, place: str) -> None:
        """Show where one stands, and which places are closed."""
        closed = "" if self.room.darkroom is not None else self.room.words.text("no evening is open yet")
        for tab in self.tabs:
            tab.here = tab.place == ("lessons" if place == "drills" else place)  # drills lie on the shelf of lessons
            tab.why_not = "" if tab.place == "lessons" else closed
        self.band.visible = self.room.lesson is not None and place in WORKING

    def status(self) -> str:
        """Return what is left of paper and evening, in words."""
        darkroom, words = self.room.darkroom, self.room.words
        if self.room.bench_taken:
            return self._status
        if darkroom is None:
            return words.text("no evening open")
        quarters = sheets_in_words(darkroom.sheets_left) or "0"
        paper = words.count("{count} sheet left", "{count} sheets left", darkroom.sheets_left, count=quarters)
        self._status = f"{paper}   ·   " + words.text("{n} min left", n=int(max(0.0, darkroom.minutes_left)))
        return self._status

    def draw_ground(self, canvas: Canvas) -> None:
        """Draw what lies under everything."""
        canvas.surface.fill(canvas.look.colour("ground"))

    def draw(self, canvas: Canvas, place: Screen) -> None:
        """Draw rows, status and foot line over the place's own picture."""
        look, surface, beat = canvas.look, canvas.surface, self.room.beat
        pygame.draw.rect(surface, look.colour("sunk"), self.top)
        canvas.line((0, self.top.bottom - 1), (self.top.right, self.top.bottom - 1), "edge")
        right = self.top.right - look.px(MARGIN + 4)
        left = self.tabs[-1].rect.right + look.px(10)
        if beat.on:
            canvas.lamp((right - look.px(8), self.top.centery), look.px(7), beat.lit)
            at = (right - look.px(24), self.top.centery)
            right = canvas.text(str(beat.count), at, "strong", "ink", "midright").left - look.px(14)
        status = self.room.busy_words or self.status()
        canvas.text(status, (right, self.top.centery), "body", "ink", "midright", right - left, shorten=True)
        self.room.messages.draw(canvas, self.foot, self.feet[0].rect.left)
        for control in self.room.frame:
            if control.visible:
                place.draw_control(canvas, control)


def _steps(room: Room) -> tuple[str, ...]:
    """Return the steps of the brief of the lesson under way."""
    if room.lesson is None:
        return ()
    from sim.window.lesson_desk import brief_steps

    return brief_steps(str(room.lesson.folder))[1]
