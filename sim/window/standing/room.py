"""The room and all that its things ask for: the darkroom, where one stands, the words, the look, what is said and heard."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from sim.bench.darkroom import Darkroom
from sim.bench.turning_a_control import Control
from sim.notebook.worth_printing import marked_frames
from sim.refusals import Refusal, Refused
from sim.viewing.plain_names import plain_name
from sim.window.hands.long_work import LongWork, Made
from sim.window.hands.messages import Messages
from sim.window.hands.sounds import Sounds
from sim.window.hands.thing import Thing
from sim.window.kit.events import Key
from sim.window.kit.look import Look
from sim.window.preferences import Preferences, write_preferences
from sim.window.standing.lesson_sayings import LESSON_ABOUT_WORDS, LESSON_LINE_WORDS, LESSON_NAME_WORDS
from sim.window.standing.sayings import ABOUT_WORDS, LINE_WORDS, NAME_WORDS
from sim.window.standing.standing import AFTER_DEVELOPMENT, PALETTE_OF, Place, RoomLight, Standing
from sim.words import Words

if TYPE_CHECKING:
    from sim.teaching.lesson import LessonRun

REFUSALS = (Refusal, OSError)  # what is said politely; a ValueError of our own is a fault, and goes into the log
NAMES = {**NAME_WORDS, **LESSON_NAME_WORDS}
ABOUTS = {**ABOUT_WORDS, **LESSON_ABOUT_WORDS}
LINES = {**LINE_WORDS, **LESSON_LINE_WORDS}


class OneRoom:
    """What the things in the room share. It draws nothing and holds no picture."""

    def __init__(self, folder: Path, preferences: Preferences, log: logging.Logger):
        self.folder, self.preferences, self.log = folder, preferences, log
        self.words = Words(preferences.language)
        self.look = Look()
        self.messages = Messages(log)
        self.sounds = Sounds(preferences.sound)
        self.standing = Standing()
        self.work = LongWork()
        self.wanted_place: Place | None = None
        self.wanted_over: Callable[[], object] | None = None  # makes the sheet that is to be laid over the room
        self.put_focus: Callable[[Thing | None], None] = lambda thing: None  # whoever has the hands says how
        self.hand_at: Callable[[], tuple[int, int]] = lambda: (-1, -1)  # where the pointer is
        self.at_trays_word: Callable[[tuple[int, int]], bool] = lambda pos: False  # whether a hand is at the way to the trays
        self.outside = False  # what is looked at lies in white light, beyond the door: drills
        self.slides_in = False  # whether paper that is carried to the trays goes into the developer at once
        self.metered: tuple[object, ...] = ()  # the light that the meter gave for the first print of the evening begun here
        self.today = 0  # a count of days, from whoever knows the calendar
        self.lesson: LessonRun | None = None
        self._darkroom: Darkroom | None = None
        self._controls: tuple[object, dict[str, Control]] = (None, {})
        self._titles: dict[tuple[str, str], str] = {}

    @property
    def darkroom(self) -> Darkroom:
        """The evening under way. Raises Refused while there is none."""
        if self._darkroom is None:
            raise Refused(self.line("no evening"))
        return self._darkroom

    @property
    def open(self) -> bool:
        """Whether an evening is under way."""
        return self._darkroom is not None

    def take_up(self, darkroom: Darkroom, lesson: LessonRun | None = None) -> None:
        """Stand in an evening, with its lesson if it has one; the one before is put away."""
        before, self._darkroom, self.lesson = self._darkroom, darkroom, lesson
        self.stand(fast=AFTER_DEVELOPMENT)  # a pace that was asked for goes with its evening
        if before is not None and before is not darkroom:
            before.close()
        if darkroom.damage:
            self.say_words(darkroom.damage, warn=True)

    @property
    def light(self) -> RoomLight:
        """The light the room is in."""
        return "white" if self.open and self.darkroom.white_light else self.standing.safelight

    @property
    def palette(self) -> str:
        """The colours things have in that light."""
        return PALETTE_OF["white" if self.outside else self.light]

    @property
    def burning(self) -> bool:
        """Whether the enlarger's lamp burns over paper."""
        return self.open and self.darkroom.paper.exposing

    @property
    def fast_clock(self) -> bool:
        """Whether the wet side's clock runs eight times as fast: in some baths, and never beyond the time that ends next."""
        return self.open and (self.darkroom.tray.stage or "developer") in self.standing.fast and self.bath_end_s is not None

    @property
    def bath_end_s(self) -> float | None:
        """When in its bath a sheet has its next time over: in the developer the one that is set, then the paper's full one.

        None once it has had them all; any number while nothing lies in a bath.
        """
        tray = self.darkroom.tray
        ends = (tray.wanted_s, tray.full_s) if tray.stage == "developer" else (tray.wanted_s,)
        return min((end_s for end_s in ends if not tray.stage or tray.seconds < end_s), default=None)

    def px(self, units: float) -> int:
        """Return pixels for logical units."""
        return self.look.px(units)

    def stand(self, **changes: object) -> None:
        """Change where one stands or what is held."""
        self.standing = replace(self.standing, **changes)  # type: ignore[arg-type]

    def name(self, key: str) -> str:
        """Return what a thing is called."""
        return self.words.text(NAMES[key])

    def about(self, key: str) -> str:
        """Return how a thing is worked."""
        return self.words.text(ABOUTS[key]) if key in ABOUTS else ""

    def line(self, key: str, **values: object) -> str:
        """Return a line of the room, filled in."""
        return self.words.text(LINES[key], **values)

    def said(self, sentence: str) -> str:
        """Return a sentence that another room has said in English in the window's language."""
        return self.words.said(sentence)

    def place_name(self, name: str) -> str:
        """Return what a named place, a criterion or a negative is called."""
        return self.words.text(plain_name(name))

    def say(self, key: str, warn: bool = False, holds: Callable[[], bool] | None = None, **values: object) -> None:
        """Say a line; with ``holds`` it stays as long as it is true."""
        self.messages.say(self.line(key, **values), warn, holds)

    def say_words(self, words: str, warn: bool = False) -> None:
        """Say something that is in words already."""
        self.messages.say(self.said(words), warn)

    def marked_frames(self) -> tuple[str, ...]:
        """Return the negatives marked on proof sheets; none, and that is said, where what is kept of it cannot be read."""
        try:
            return marked_frames(self.folder)
        except (Refusal, OSError) as error:
            self.say_words(str(error), warn=True)
            return ()

    def guarded(self, act: Callable[[], object]) -> bool:
        """Do something; a refusal or a fault is said, never the end of the program. Returns whether it was done."""
        try:
            act()
        except REFUSALS as error:
            words = self.said(str(error))
            self.messages.say(f"{words[:1].upper()}{words[1:]}.", warn=True)
            return False
        except Exception as error:
            self.log.error("fault", exc_info=error)
            self.say("fault", warn=True, kind=type(error).__name__, what=error)
            return False
        return True

    def does(self, acts: Mapping[str, Callable[[], object]], key: Key) -> bool:
        """Do what a key stands for in a table; returns whether it stands for anything there."""
        act = acts.get(key.chord)
        if act is not None:
            self.guarded(act)
        return act is not None

    def control(self, name: str) -> Control:
        """Return a control of the desk as it stands; asked many times a frame, so it is worked out once for a set-up."""
        now = self.darkroom.desk.now
        if self._controls[0] is not now:
            self._controls = (now, {})
        kept = self._controls[1]
        if name not in kept:
            kept[name] = self.darkroom.desk.control(name)
        return kept[name]

    def title(self, control: str) -> str:
        """Return the title of what a choice of the desk stands at; asked in every frame, so it is read once."""
        now = self.darkroom.desk.now
        key = (control, str(getattr(now, control)))
        if key not in self._titles:
            found = self.darkroom.desk.control(control)
            self._titles[key] = self.words.text(found.choice_titles[found.choices.index(found.value)])
        return self._titles[key]

    def number(self, value: float, decimals: int = 1) -> str:
        """Return a number with a true minus and this language's decimal sign."""
        return self.words.number(value, decimals).replace("-", "−")

    @property
    def keys(self) -> dict[str, tuple[str, ...]]:
        """The keys that somebody chose instead of those that come with the room."""
        return self.preferences.keys

    def prefer(self, preferences: Preferences) -> None:
        """Take other preferences, and keep them."""
        if preferences == self.preferences:
            return
        before, self.preferences = self.preferences, preferences
        trouble = write_preferences(self.folder, preferences)
        if trouble:
            self.say_words(trouble, warn=True)
        self.sounds.on = preferences.sound
        if preferences.language != before.language:
            self.words = Words(preferences.language)
            self._controls, self._titles = (None, {}), {}
            if self.words.trouble:
                self.say_words(self.words.trouble, warn=True)

    def later(self, job: Callable[[], Made], then: Callable[[Made], None], words: str = "") -> None:
        """Do something long beside the window that touches neither bench nor lesson; ``then`` gets what it made."""
        self.work.begin(words, job, then)

    def soon(self, job: Callable[[], Made], then: Callable[[Made], None], failed: Callable[[], None], words: str = "") -> None:
        """Do something beside the window that is waited for: nothing that may take its time comes before it."""
        self.work.begin(words, job, then, True, failed)

    def settle(self) -> None:
        """A gesture is over: what was dragged is kept, as one step."""
        if self.open and not self.burning:
            self.darkroom.desk.settle()

    def close(self) -> None:
        """Leave: long work comes to its end and is kept, the evening is put away for others."""
        self.work.close()
        while (follow := self.work.finished()) is not None:
            self.guarded(follow)
        if self._darkroom is not None:
            self._darkroom.close()
