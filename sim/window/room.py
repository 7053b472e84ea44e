"""What every place in the window shares: the darkroom, the words, the look, the keys, and one pair of hands for long work."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sim.refusals import Refusal
from sim.window.chosen_keys import Keys
from sim.window.kit.beat import Beat
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, Outcome, warned
from sim.window.kit.look import Look
from sim.window.kit.message_line import MessageLine
from sim.window.long_work import Job, LongWork
from sim.window.preferences import Preferences
from sim.words import Words

REFUSALS = (Refusal, ValueError, OSError)


class Room:
    """The room. Places ask it; it holds no picture and draws nothing."""

    def __init__(self, folder: Path, preferences: Preferences, look: Look, log: logging.Logger):
        self.folder = folder
        self.preferences = preferences
        self.look = look
        self.log = log
        self.words = Words(preferences.language)
        self.keys = Keys(dict(preferences.keys))
        self.beat = Beat(preferences.beat_s)
        self.messages = MessageLine(log)
        self.darkroom: Any = None
        self.lesson: Any = None
        self.today = 0  # a count of days, from whoever knows the calendar
        self.wanted_exercise = ""  # what was asked for on the command line
        self.wanted_drill = ""  # what was asked for at the shelf of lessons
        self.frame: list[Control] = []
        self.frame_help: dict[str, str] = {}
        self.scale_wanted = 1.0  # chosen, or by the screen's size; the look's may be less
        self.too_small = False  # the window is smaller than the least room
        self.work = LongWork()

    @property
    def at_once(self) -> bool:
        """Tests: long work is done on the spot."""
        return self.work.at_once

    @at_once.setter
    def at_once(self, on: bool) -> None:
        self.work.at_once = on

    def take_up(self, darkroom: Any, lesson: Any) -> str:
        """Stand in another evening, the one before put away for others; returns what is wrong with it, or nothing."""
        before, self.darkroom, self.lesson = self.darkroom, darkroom, lesson
        if before is not None and before is not darkroom:
            before.close()
        return darkroom.damage or ""

    @property
    def reduced_motion(self) -> bool:
        """Nothing moves that need not."""
        return self.preferences.reduced_motion

    @property
    def busy(self) -> bool:
        """Long work is under way."""
        return self.work.busy

    @property
    def busy_words(self) -> str:
        """What is under way, in words."""
        return self.work.words

    @property
    def bench_asked(self) -> bool:
        """Long work at the bench was asked for and is not done yet."""
        return self.work.bench_asked

    @property
    def bench_busy(self) -> bool:
        """Hands are asked to wait: long work is at the bench, or about to be."""
        return self.work.bench_asked and not self.work.at_once

    @property
    def bench_taken(self) -> bool:
        """Long work is at the bench; nothing else may touch it."""
        return self.work.bench_taken

    def px(self, units: float) -> int:
        """Return pixels for logical units."""
        return self.look.px(units)

    def later(
        self, job: Callable[[], Any], then: Callable[[Any], Outcome | None], words: str = "", bench: bool = True
    ) -> None:
        """Do long work beside the window; ``then`` gets its result before a later frame. Jobs keep their order.

        ``bench`` False: the work touches neither darkroom nor lesson, and these may be worked meanwhile.
        """
        self.work.later(Job(job, then, words, bench))

    def collect(self) -> list[Outcome]:
        """Return what finished work leads to; called once a frame on the window's own thread."""
        outcomes: list[Outcome] = []
        while (done := self.work.finished()) is not None:
            if done.error is not None:
                outcomes.append(self.in_words(done.error))
            else:
                outcomes.append(self.guarded(lambda done=done: done.job.then(done.result)))  # type: ignore[misc]
        return outcomes

    def guarded(self, act: Callable[[], Outcome | None]) -> Outcome:
        """Do something; refusals and faults become words, never the end of the program."""
        try:
            answer = act()
            return answer if isinstance(answer, Outcome) else HANDLED
        except Exception as error:
            return self.in_words(error)

    def in_words(self, error: Exception) -> Outcome:
        """Return an error as a warning; faults of ours go into the log with where they happened."""
        if isinstance(error, REFUSALS):
            return warned(str(error))
        self.log.error("fault", exc_info=error)
        kind = type(error).__name__
        return warned(
            self.words.text(
                "Something went wrong here ({kind}: {what}). It is in the log; the evening is kept.",
                kind=kind,
                what=error,
            )
        )

    def close(self, wait_s: float = 10.0) -> None:
        """Let long work that is under way come to its end, so that no decision is half kept; put the evening away."""
        self.work.close(wait_s)
        if self.darkroom is not None and self.work.idle:
            self.darkroom.close()
