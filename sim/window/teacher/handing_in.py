"""Handing in: the evening is closed and written into one file, in the folder the learner says; the file is shown."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pygame import Rect

from sim.refusals import Refused
from sim.teaching.lesson import LessonRun
from sim.window.kit.canvas import Canvas
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.written import Written


class HandingIn(Overlay):
    """A folder, and a plate that closes the evening."""

    share = (0.66, 0.5)

    def __init__(self, room: OneRoom, run: LessonRun):
        super().__init__(room, room.name("hand in"), "close")
        self._run = run
        self.folder = Written(room, "folder", room.preferences.exports or os.path.expanduser("~"), lambda words: None, 400)
        self.hand_in = Plate(room, "hand in here", self._hand_in)
        self._written, self.listed = "", [self.folder]

    def _hand_in(self) -> None:
        self.folder.left()
        folder = Path(os.path.expanduser(self.folder.words))  # a home that nobody knows stays as it was typed
        if not folder.is_dir():
            raise Refused(self.room.line("no folder", folder=self.folder.words or "–"))
        self.room.prefer(replace(self.room.preferences, exports=str(folder)))
        name, number = self._run.exercise.name, self._run.evening.state.opening.attempt
        out = folder / f"handed-in-{name}-{number}.jsonl"
        self._run.hand_in(out)
        self._written = self.room.line("handed in to", file=out)
        self.room.say_words(self._written)

    def plates(self) -> Sequence[Plate]:
        """Hand in, once, and close."""
        return (*(() if self._written else (self.hand_in,)), self.done)

    def lay_out(self, area: Rect) -> None:
        """The folder above, the plates below."""
        super().lay_out(area)
        self.folder.rect = Rect(self.inner.x, self.inner.y, self.inner.w, self.folder.high())
        self.above_the_foot(10, 0)

    def draw(self, canvas: Canvas) -> None:
        """What it means, or where the file lies."""
        super().draw(canvas)
        words = self._written or self.room.about("hand in")
        top = self.folder.rect.bottom + canvas.look.px(12)
        canvas.lines(words, Rect(self.inner.x, top, self.inner.w, self.done.rect.y - top), "body", "ink")
