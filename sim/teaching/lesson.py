"""A lesson under way: brief, predict, make, see, why, and again; then nominate, marks, advice.

Everything that has happened is read from the evening's log, so a lesson can be left at any moment and goes on where it
was. Window and terminal show the same ``Step`` and call the same methods; the sheets themselves may be made here or at
the darkroom's own stations on the same evening.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from sim.evening.assignment import assignment_in
from sim.evening.evening import LEAST_PX_PER_MM, Evening
from sim.evening.evening_state import HINT_LEVELS, SheetMade
from sim.evening.handing_in import HandedIn, hand_in
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.lock_words import locked_words
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.reading import Problem, ValueRefused
from sim.refusals import Refused
from sim.scoring.advice import Advice
from sim.scoring.derived import read_shown
from sim.scoring.exercise import Exercise
from sim.scoring.hints import hints_of, text_file
from sim.scoring.marks import Mark, Marks
from sim.scoring.start import start_record
from sim.teaching.lesson_looks import about_a_strip, checked_choice
from sim.teaching.lesson_marks import SheetRead, contrasts, in_marking_order, index_of, mark_lesson, read_sheet
from sim.teaching.lesson_opening import exercise_in, is_graded, mode_of, seed_for
from sim.teaching.lesson_step import Contrast, Stage, Step
from sim.teaching.lesson_texts import step_of, why_choices
from sim.teaching.own_decisions import GRADED_ATTEMPTS, NotCounted, why_not_counted
from sim.teaching.strip_texts import no_steps, refused_sight
from sim.teaching.worked_example import (
    fineness,
    plan_of,
    read_references,
    refused_controls,
    shown_negatives,
    why_locked,
)
from sim.version import VERSION
from sim.words import Words


class NotNow(Refused):
    """The lesson does not allow this at this moment; the message says why and what comes first."""


class LessonRun:
    """One attempt at an exercise, on an evening with its log. ``words`` is the language it speaks; a door may set another."""

    def __init__(self, folder: Path, exercise: Exercise, evening: Evening, negatives: Sequence[Negative]) -> None:
        """Take up an evening that was opened for this exercise; use ``open`` or ``over``."""
        self.folder = folder
        self.exercise = exercise
        self.evening = evening
        self.negatives = tuple(negatives)
        self.mode = evening.state.opening.mode or "solo"
        references = (*read_references(folder), *read_shown(folder)) if self.mode != "solo" else ()
        self.plan = plan_of(self.mode, exercise, self.negatives, references)
        self.lights = LightCache(most=12)
        self._elsewhere = LightCache(most=12)  # of what is worked out away from here: two at work never share one
        self.words = Words()
        self._begun = False
        self._step: tuple[tuple[int, bool, str], Step] | None = None
        self.sheets_at_hand: dict[int, Print] = {}
        self._read: dict[int, SheetRead] = {}
        self._counted: tuple[tuple[int, int], NotCounted] | None = None
        self._marked: tuple[tuple[int, int], Marks, tuple[Advice, ...], tuple[Contrast, ...]] | None = None

    @classmethod
    def open(
        cls, log_file: Path, name_or_folder: str, *, learner: str = "", attempt: int = 1, negatives: Sequence[str] = (),
        mode: str = "", seed: int | None = None, name: str = "", clean_successes: int = 0,
    ) -> LessonRun:  # fmt: skip
        """Begin an attempt, or go on with the one whose log is there.

        ``negatives`` replaces the exercise's own (one of ``also``, or a learner's variants); ``mode`` is example, completion
        or solo (default: by attempt and clean successes); ``name`` is the exercise's where its folder is called otherwise.
        Raises OpenElsewhere, OutsideError, WritingFailed, or Refused for a log of another exercise.
        """
        folder, exercise = exercise_in(name_or_folder, name)
        names = tuple(negatives) or exercise.negatives
        exercise.on_negatives(*names)  # refuses a wrong number
        mode = mode_of(folder, exercise, names, attempt, clean_successes, mode)
        if mode == "example" and names == exercise.negatives:  # what is shown must not solve what is practised
            names = shown_negatives(folder, exercise) or names
        if not log_file.exists():
            for one in names:
                find_negative(one)  # refuses an unknown one before anything is written
        evening = Evening.open(
            log_file, exercise.paper, exercise.box.sheets, exercise.box.minutes,
            seed_for(exercise.name, learner, attempt) if seed is None else seed,
            exercise=exercise.name, exercise_version=exercise.version, exercise_digest=exercise.digest, learner=learner,
            attempt=attempt, negatives=names, copies=exercise.copies, maker_version=VERSION,
            mode=mode,
        )  # fmt: skip
        try:
            return cls.over(evening, folder, exercise)
        except BaseException:
            evening.close()
            raise

    @classmethod
    def over(cls, evening: Evening, folder: Path, exercise: Exercise) -> LessonRun:
        """Take up an evening that is already open. Raises ValueRefused when its log belongs to another exercise."""
        opening = evening.state.opening
        if opening.exercise != exercise.name:
            rule = f"must be a log of the exercise {exercise.name}"
            raise ValueRefused(evening.file, [Problem("exercise", rule, opening.exercise or "an evening of one's own")])
        names = tuple(opening.negatives) or exercise.negatives
        negatives = [find_negative(name) for name in names]
        return cls(folder, exercise.on_negatives(*names), evening, negatives)

    @property
    def changed_since(self) -> bool:
        """Tell whether the exercise's file is another one than when the evening began."""
        _, today = exercise_in(str(self.folder), self.exercise.name)
        return self.evening.state.opening.exercise_digest not in (today.digest, today.public().digest)

    @cached_property
    def graded(self) -> bool:
        """Tell whether it is work that is marked for others: assigned in a course, or a graded lesson."""
        return is_graded(self.folder, self.exercise.name)

    @cached_property
    def exam(self) -> bool:
        """Tell whether it is an examination: no marks, no hints, one evening; what it came to is given out later."""
        assignment = assignment_in(self.folder)
        return assignment is not None and assignment.exam

    @property
    def made(self) -> int:
        """Pieces of paper used so far."""
        return len(self.evening.state.sheets)

    @property
    def last(self) -> SheetMade | None:
        """The last piece of paper."""
        return self.evening.state.sheets[-1] if self.evening.state.sheets else None

    @property
    def stage(self) -> Stage:
        """Where the lesson stands, from the log alone (only the brief's being read is not kept)."""
        state, now = self.evening.state, self.made
        if state.handed_in:
            return "done"
        last_line = state.said[-1].line if state.said else 0
        if state.nominated and state.nominated_line > last_line:
            return "marks"
        if state.said_of("predicted", now):
            return "make"
        if now and not state.said_of("observed", now):
            return "see"
        if now and not state.said_of("explained", now):
            return "explain"
        return "predict" if self._begun or len(state.said) or now else "brief"

    @property
    def prediction(self) -> str:
        """What was predicted for the next piece of paper; empty when nothing was yet."""
        said = self.evening.state.said_of("predicted", self.made)
        return said[-1].choice if said else ""

    @property
    def shown_next(self) -> bool:
        """Tell whether the next piece of paper is made by the lesson."""
        return self.made < len(self.plan)

    @property
    def step(self) -> Step:
        """What to show now; made anew only after a decision, so that it may be asked for at every frame."""
        key = (self.evening.last.number, self._begun, self.words.language)
        if self._step is None or self._step[0] != key:
            self._step = (key, step_of(self))
        return self._step[1]

    def begin(self) -> None:
        """Go on from the brief."""
        self._begun = True

    def predict(self, choice: str, text: str = "") -> None:
        """Commit to what the next piece of paper will show. May be said again until it is developed."""
        if self.stage not in ("brief", "predict", "make", "marks"):
            raise NotNow("first say what is to be seen on the last sheet, and why; then predict the next")
        self._refuse_after_marks()
        key = checked_choice(choice)
        if self.shown_next and self.plan[self.made].record.sheet.kind == "sheet" and about_a_strip(key):
            raise Refused(no_steps("what is made next", key))
        self.evening.predict(key, text)

    def wanted_before(self, strip: bool) -> str | None:
        """Return words asking for a prediction, or None when one that fits was made."""
        if self.stage in ("see", "explain"):
            return "Look at the last sheet first: say what you see on it, and why."
        if not self.prediction:
            return "Predict first: say what the next piece of paper will show. It costs nothing."
        if about_a_strip(self.prediction) and not strip:
            return "Your prediction was about a strip: say what the print will show."
        if strip and not about_a_strip(self.prediction) and self.exercise.predict == "which-step":
            return "Your prediction was about a print: say which step of the strip will be right."
        return None

    def locked(self, control: str) -> str | None:
        """Return why a control is locked, None when it is free."""
        return None if control in self.exercise.unlocked else why_locked(control, self.words)

    def start(self, negative: str = "") -> PrintingRecord:
        """Return the record of a first print of a negative (the first one by default), nothing touched but fresh developer."""
        chosen = next((n for n in self.negatives if n.name == negative), self.negatives[0])
        return self.in_this_bath(start_record(self.exercise, chosen, find_stock(self.exercise.paper)))

    def in_this_bath(self, record: PrintingRecord) -> PrintingRecord:
        """Return a record with the developer that stands in the tray: the start's, or what was poured since."""
        used = self.evening.state.seen_by_developer(self.exercise.start.sheets_before)
        return replace(record, development=replace(record.development, sheets_before=used))

    @property
    def may_pour(self) -> bool:
        """Tell whether fresh developer may be poured: the lesson leaves it open, and the one in the tray is not fresh."""
        used = self.evening.state.seen_by_developer(self.exercise.start.sheets_before)
        return used > 0.0 and "fresh_developer" in self.exercise.unlocked

    def pour(self) -> None:
        """Pour fresh developer for all that comes: minutes and a litre. Raises NotNow, EveningEnded."""
        if self.stage not in ("brief", "predict", "make"):
            raise NotNow("first say what is to be seen on the last sheet, and why")
        if "fresh_developer" not in self.exercise.unlocked:
            raise NotNow(why_locked("fresh_developer", self.words))
        if not self.may_pour:
            raise NotNow("the developer in the tray is fresh already")
        self.evening.pour()

    def make(self, record: PrintingRecord, px_per_mm: float | None = None) -> Print:
        """Expose and develop a piece of paper. Raises NotNow without a prediction or for a locked control, EveningEnded."""
        if self.shown_next:
            raise NotNow("the next piece of paper is made for you: look how it is done (play)")
        return self._make(record, px_per_mm)

    def play(self, px_per_mm: float | None = None) -> Print:
        """Have the lesson make its next piece of paper. The prediction comes first here too."""
        if not self.shown_next:
            raise NotNow("nothing is left to be shown: from here on the decisions are yours")
        return self._make(self.plan[self.made].record, px_per_mm)

    def play_unseen(self) -> None:
        """Have the lesson make its next piece of paper at once; who looks at it prints it then (``due``)."""
        if not self.shown_next:
            raise NotNow("nothing is left to be shown: from here on the decisions are yours")
        record = self.plan[self.made].record
        self.evening.make(self._allowed(record), record, LEAST_PX_PER_MM)

    def _allowed(self, record: PrintingRecord) -> Negative:
        """Return the negative of a piece that may be made now. Raises NotNow without a prediction or for a locked control."""
        asked = self.wanted_before(record.sheet.kind == "strip")
        if asked:
            raise NotNow(asked)
        self.refuse_locked(record)
        if record != self.in_this_bath(record):
            raise NotNow("the sheet must go through the developer that stands in the tray: pour a fresh one first")
        return self.negatives[index_of(self.negatives, record)]

    def _make(self, record: PrintingRecord, px_per_mm: float | None) -> Print:
        negative = self._allowed(record)
        sheet = self.evening.make(negative, record, px_per_mm or fineness(negative, record))
        self.sheets_at_hand[self.made] = sheet
        return sheet

    def refuse_locked(self, record: PrintingRecord) -> None:
        """Raise NotNow in words where a set-up differs from the start in what the lesson locks."""
        moved = refused_controls(self.exercise, self.negatives[index_of(self.negatives, record)], record)
        if moved:
            raise NotNow("; ".join(locked_words(one, self.words) for one in moved))

    def see(self, choice: str, text: str = "") -> None:
        """Say what is to be seen on the last piece of paper, before any number is shown."""
        if self.stage != "see":
            raise NotNow("there is nothing new to look at: make a piece of paper first")
        key = checked_choice(choice)
        refused = refused_sight(self, key)
        if refused:
            raise Refused(refused)
        self.evening.observe(f"{key}: {text}" if text else key)

    def why(self, choice: str) -> None:
        """Say in one word why it came out as it did."""
        if self.stage != "explain":
            raise NotNow("first look at the sheet and say what you see")
        keys = [one.key for one in why_choices(self)]
        if choice not in keys:
            raise Refused(f"why must be one of {', '.join(keys)}, got {choice[:40]!r}")
        self.evening.explain(choice)

    def hint(self) -> str:
        """Return the next hint. Between two hints lies a new piece of paper."""
        refused = self.no_hint()
        if refused:
            raise NotNow(refused)
        level = self.hint_level + 1
        text = hints_of(self.folder)[level - 1]
        self.evening.hint(level)
        return text

    @property
    def hint_level(self) -> int:
        """The level of the last hint taken, 0 for none."""
        taken = self.evening.state.said_of("hint")
        return max((hint.level for hint in taken), default=0)

    def no_hint(self) -> str:
        """Return why no hint can be had now; empty when one can."""
        taken = self.evening.state.said_of("hint")
        if self.evening.state.handed_in:
            return "the evening has been handed in"
        if self.exam:
            return "In an examination there are no hints."
        if not text_file(self.folder, "hints").is_file():
            return "There are no hints for this exercise."
        if self.hint_level >= HINT_LEVELS:
            return "The neighbouring case says how it is done; try it on this negative."
        if taken and taken[-1].sheets_before == self.made:
            return "Try the last hint on a piece of paper first; then ask again."
        return ""

    def nominate(self, *numbers: int) -> None:
        """Name the sheets that count: one for each negative and copy. What came before stays in the box's count."""
        if self.stage in ("see", "explain"):
            raise NotNow("first say what is to be seen on the last sheet, and why")
        self._refuse_after_marks()
        for number in numbers:
            self._checked(number)
        ordered = in_marking_order(self.exercise, self.negatives, self.evening.state, numbers)
        self.evening.nominate(*(made.number for made in ordered))

    def _refuse_after_marks(self) -> None:
        if self.graded and self.evening.state.nominated and not self.exam:
            raise NotNow("the marks of this graded evening have been shown: what was named counts; hand it in, or begin anew")

    def not_counted(self) -> NotCounted:
        """Return why the evening does not count towards the skill although it passed; empty when it does, or did not pass."""
        key = (self.made, self.evening.state.nominated_line)
        if self.exam:
            return ""
        if self._counted is None or self._counted[0] != key:
            self._counted = (key, self._counted_maker(self.lights)(self.result()[0]))
        return self._counted[1]

    def _counted_maker(self, lights: LightCache) -> Callable[[Marks], NotCounted]:
        """Return what tells from the marks why an evening does not count. It holds all it needs."""
        folder, exercise, negatives, state = self.folder, self.exercise, self.negatives, self.evening.state
        over_limit, example = self.graded and state.opening.attempt > GRADED_ATTEMPTS, self.mode == "example"

        def why(marks: Marks) -> NotCounted:
            if over_limit:
                return "over-limit"
            if example or not marks.passed(exercise):
                return ""
            return why_not_counted(folder, exercise, negatives, state, lights)

        return why

    def _checked(self, number: int) -> None:
        """Refuse the number of a sheet that is not there."""
        if not self.made:
            raise Refused(f"sheet must be one that was made, and there is none yet; got {number}")
        if not 1 <= number <= self.made:
            raise Refused(f"sheet must be between 1 and {self.made}, got {number}")

    def record_of(self, number: int) -> PrintingRecord:
        """Return the decisions behind a piece of paper. Raises Refused for a number that is not there."""
        self._checked(number)
        return self.evening.state.sheets[number - 1].record

    @property
    def last_negative(self) -> str:
        """The negative in the carrier: that of the last piece of paper, or the first one."""
        return self.last.record.negative if self.last else self.negatives[0].name

    def sheet(self, number: int) -> Print:
        """Return a piece of paper made so far, made again from its record when it is not at hand."""
        if number not in self.sheets_at_hand:
            self.sheets_at_hand[number] = self.sheet_maker(number, self.lights)()
        return self.sheets_at_hand[number]

    def sheet_maker(self, number: int, lights: LightCache | None = None) -> Callable[[], Print]:
        """Return what makes a piece of paper again. It holds all it needs, so it may be called while the lesson goes on.

        Raises IndexError for a number that is not there.
        """
        record = self.evening.state.sheets[number - 1].record
        negative = self.negatives[index_of(self.negatives, record)]
        px_per_mm, own = fineness(negative, record), lights or LightCache()
        return lambda: make_print(negative, record, find_stock(record.sheet.paper), px_per_mm, lights=own)

    def readings(self, number: int) -> tuple[tuple[Mark, ...], tuple[Advice, ...]]:
        """Return what a whole sheet reads beside what is wanted, and what it needs. Raises NotNow before it was looked at."""
        read = self._sheet_read(number)
        return read.marks, read.advice

    def holds(self, number: int) -> tuple[Advice, ...]:
        """Return all that holds on a whole sheet, told or not: what a true answer may name."""
        return self._sheet_read(number).holds

    def _sheet_read(self, number: int) -> SheetRead:
        self._checked(number)
        if number == self.made and self.stage == "see":
            raise NotNow("first say what you see; then the densitometer is read")
        if number not in self._read:
            self._read[number] = self._reading_maker(number, self.lights)()
        return self._read[number]

    def _reading_maker(self, number: int, lights: LightCache) -> Callable[[], SheetRead]:
        """Return what reads a whole sheet; of a strip there is nothing to read. It holds all it needs."""
        exercise, negatives, state = self.exercise, self.negatives, self.evening.state
        made, advised = state.sheets[number - 1], not self.exam  # at an exam the densitometer is there; what to do is not said
        if made.record.sheet.kind != "sheet":
            return SheetRead
        return lambda: read_sheet(exercise, negatives, state, made, lights, advised)

    def due(self) -> Callable[[], Callable[[], None]] | None:
        """Return what works out, away from here, the long part of what is shown next; None where nothing long is to come.

        It holds all it needs, so that the lesson may go on meanwhile. What it returns keeps what was made, and is called here.
        """
        stage, last = self.stage, self.last
        if stage == "marks":
            return None if self.exam else self._marks_due()
        if last is None or stage in ("brief", "done"):
            return None
        number = last.number
        if last.record.sheet.kind == "strip":
            if number in self.sheets_at_hand:
                return None
            print_it = self.sheet_maker(number, self._elsewhere)

            def printed() -> Callable[[], None]:
                sheet = print_it()
                return lambda: self.sheets_at_hand.update({number: sheet})

            return printed
        if number in self._read:
            return None
        read_it = self._reading_maker(number, self._elsewhere)

        def read() -> Callable[[], None]:
            found = read_it()
            return lambda: self._read.update({number: found})

        return read

    def _marks_due(self) -> Callable[[], Callable[[], None]] | None:
        key = (self.made, self.evening.state.nominated_line)
        if self._marked is not None and self._marked[0] == key:
            return None
        marks_of, counts_of = self._result_maker(self._elsewhere), self._counted_maker(self._elsewhere)

        def marked() -> Callable[[], None]:
            marks, advice, own = marks_of()
            counted = counts_of(marks)

            def keep() -> None:
                self._marked, self._counted = (key, marks, advice, own), (key, counted)

            return keep

        return marked

    def result(self) -> tuple[Marks, tuple[Advice, ...], tuple[Contrast, ...]]:
        """Return marks, advice and the learner's own prints contrasted, for the nominated sheets."""
        state = self.evening.state
        if not state.nominated:
            raise NotNow("no sheet has been named as the one that counts; nominate one first")
        if self.exam:
            raise NotNow("in an examination marks are given out by whoever teaches, after the due time")
        key = (self.made, state.nominated_line)
        if self._marked is None or self._marked[0] != key:
            self._marked = (key, *self._result_maker(self.lights)())
        return self._marked[1:]

    def _result_maker(self, lights: LightCache) -> Callable[[], tuple[Marks, tuple[Advice, ...], tuple[Contrast, ...]]]:
        """Return what marks the nominated sheets. It holds all it needs."""
        exercise, negatives, state = self.exercise, self.negatives, self.evening.state

        def made() -> tuple[Marks, tuple[Advice, ...], tuple[Contrast, ...]]:
            marks, advice, _ = mark_lesson(exercise, negatives, state, lights)
            return marks, advice, contrasts(exercise, negatives, state, lights)

        return made

    def hand_in(self, out_file: Path) -> HandedIn:
        """Write the evening, closed, to one file. Raises NotReady, in words."""
        return hand_in(self.evening.file, out_file, len(self.negatives) * self.exercise.copies)
