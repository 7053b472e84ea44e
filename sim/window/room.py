"""What every place in the window shares: the darkroom, the words, the look, the keys, and one pair of hands for long work."""

from __future__ import annotations

import logging
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.refusals import OutsideError
from sim.window.keys import Keys
from sim.window.kit.beat import Beat
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, Outcome, warned
from sim.window.kit.look import Look
from sim.window.kit.message_line import MessageLine
from sim.window.preferences import Preferences
from sim.window.words import Words

REFUSALS = (OutsideError, ValueError, OSError)


@dataclass(frozen=True)
class _Job:
    job: Callable[[], Any]
    then: Callable[[Any], Outcome | None]
    words: str


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
        self.frame: list[Control] = []
        self.frame_help: dict[str, str] = {}
        self.at_once = False  # tests: long work is done on the spot
        self._waiting: queue.Queue[_Job | None] = queue.Queue()
        self._done: queue.Queue[tuple[_Job, Any, Exception | None]] = queue.Queue()
        self._under_way = 0
        self._words: list[str] = []
        self._worker: threading.Thread | None = None

    @property
    def reduced_motion(self) -> bool:
        """Nothing moves that need not."""
        return self.preferences.reduced_motion

    @property
    def busy(self) -> bool:
        """Long work is under way."""
        return self._under_way > 0

    @property
    def busy_words(self) -> str:
        """What is under way, in words."""
        return self._words[0] if self._words else ""

    def px(self, units: float) -> int:
        """Return pixels for logical units."""
        return self.look.px(units)

    def later(self, job: Callable[[], Any], then: Callable[[Any], Outcome | None], words: str = "") -> None:
        """Do long work beside the window; ``then`` gets its result before the next frame. Jobs keep their order."""
        one = _Job(job, then, words)
        self._under_way += 1
        self._words.append(words)
        if self.at_once:
            self._done.put(self._do(one))
            return
        if self._worker is None or not self._worker.is_alive():
            self._worker = threading.Thread(target=self._work, name="long work", daemon=True)
            self._worker.start()
        self._waiting.put(one)

    def _do(self, one: _Job) -> tuple[_Job, Any, Exception | None]:
        try:
            return one, one.job(), None
        except Exception as error:  # whatever it is, it is said in the room and the program goes on
            return one, None, error

    def _work(self) -> None:
        while (one := self._waiting.get()) is not None:
            self._done.put(self._do(one))

    def collect(self) -> list[Outcome]:
        """Return what finished work leads to; called once a frame on the window's own thread."""
        outcomes: list[Outcome] = []
        while True:
            try:
                one, result, error = self._done.get_nowait()
            except queue.Empty:
                return outcomes
            self._under_way -= 1
            if one.words in self._words:
                self._words.remove(one.words)
            if error is None:
                outcomes.append(self.guarded(lambda one=one, result=result: one.then(result)))  # type: ignore[misc]
            else:
                outcomes.append(self.in_words(error))

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
        """Let long work that is under way come to its end, so that no decision is half kept."""
        if self._worker is not None and self._worker.is_alive():
            self._waiting.put(None)
            self._worker.join(wait_s)
