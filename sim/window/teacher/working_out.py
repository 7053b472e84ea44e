"""What of a lesson takes a moment is worked out beside the window: readings, a strip's print, marks; it is said meanwhile."""

from __future__ import annotations

from collections.abc import Callable

from sim.teaching.lesson import LessonRun
from sim.window.standing.room import OneRoom

Keep = Callable[[], None]


class WorkingOut:
    """One piece of work at a time; what could not be worked out is asked for again where it is shown, and refused there."""

    def __init__(self, room: OneRoom):
        self._room = room
        self._of: object = None  # what is being worked out
        self._failed: object = None
        self._kept: object = None  # the marks that stand in the learner's progress

    def ready(self, run: LessonRun, named: bool) -> bool:
        """Tell whether what comes next may be shown; what is still to be worked out is begun.

        Before a piece of paper was looked at its readings are worked out while one looks. ``named``: the sheets that count
        were named here, so that the marks are kept with the learner's progress whatever was kept before.
        """
        looks = run.stage == "see"
        if self._of is not None:
            return looks
        key = (run, run.made, run.evening.state.nominated_line, run.stage == "marks")
        job = run.due() if key != self._failed else None
        if job is None:
            self._keep_progress(run, named, key)
            return True
        self._of = key

        def then(keep: Keep) -> None:
            self._of = None
            keep()
            self._keep_progress(run, named, key)

        def failed() -> None:
            self._of, self._failed = None, key

        self._room.soon(job, then, failed, "" if looks else self.words(run))
        return looks

    def words(self, run: LessonRun) -> str:
        """Return what is being done."""
        return self._room.line("marking" if run.stage == "marks" else "reading it")

    def _keep_progress(self, run: LessonRun, named: bool, key: object) -> None:
        """Keep marks with the learner's progress, once, whoever worked them out."""
        from sim.window.lesson_desk import keep_progress

        if run.stage == "marks" and not run.exam and key not in (self._kept, self._failed):
            self._kept = key
            keep_progress(self._room.folder, run, self._room.today, named)
