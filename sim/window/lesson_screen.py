"""The lesson under way, from its task to its marks; when there is none, the shelf of lessons."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

from pygame import Rect

from sim.window.keys_of_every_place import LESSON_KEYS
from sim.window.kit.boxes import columns, cut_bottom, cut_left, cut_top, inset
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import Row, ScrollList
from sim.window.kit.events import UNUSED, Outcome, said
from sim.window.kit.notes import LongNote, NoteField
from sim.window.kit.screen import Screen
from sim.window.lesson_counting import count_in
from sim.window.lesson_drawing import draw_marks, draw_path, draw_strip_readings, path_height
from sim.window.lesson_sheet import SheetPicture
from sim.window.lesson_shelf import ShelfPart
from sim.window.lesson_words import HELP, assigned_words, paragraphs, reading_words

LEAST_SHEET = 200  # logical units of height that make a print worth looking at


class LessonScreen(Screen):
    """Shelf and lesson under way share the place; which one is seen is ``on_shelf``."""

    NAME = "lessons"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS = LESSON_KEYS

    def build(self) -> None:
        """Make the controls of shelf and lesson."""
        t = self.room.words.text
        self.on_shelf = self.room.lesson is None
        self.shelf = ShelfPart(self, self._open)
        self.text = self.add(LongNote("lesson-text"))
        self.answers = self.add(ScrollList("answers", "", change=self._answered, open=lambda _: self._go_on()))
        self.own_words = self.add(NoteField("own-words", t("In your own words (if you like)"), "", None, 400))
        self.sheets = self.add(ScrollList("sheets", t("Sheets so far"), change=lambda _: None, open=self._counts))
        self.on = self.add(PushButton("go-on", t("Go on"), self._go_on, big=True))
        self.enlarger = self.add(PushButton("to-enlarger", t("To the enlarger"), lambda: Outcome(go_to="enlarger")))
        self.hint = self.add(PushButton("hint", t("A hint"), self._hint))
        self.nominate = self.add(PushButton("nominate", t("This sheet counts"), self._nominate))
        self.hand_in = self.add(PushButton("hand-in", t("Hand in"), self._hand_in))
        self.to_shelf = self.add(PushButton("to-shelf", t("All lessons"), self._to_shelf))
        self.run_controls = [
            self.text, self.answers, self.own_words, self.on, self.enlarger, self.hint,
            self.sheets, self.nominate, self.hand_in, self.to_shelf,
        ]  # fmt: skip
        self.step: Any = None
        self._assignment: tuple[Any] | None = None  # read once
        self.counting: set[int] = set()
        self._stage = ("", 0)
        self.sheet_rect: Rect | None = None
        self.area = Rect(0, 0, 0, 0)
        self.sheet = SheetPicture(self.room)

    def entered(self) -> None:
        """Lessons are read when somebody comes here; an exercise asked for at the command line is opened."""
        self.on_shelf = self.room.lesson is None
        wanted, self.room.wanted_exercise = self.room.wanted_exercise, ""
        self.shelf.read()
        if wanted:
            self._open(wanted, False)

    def _open(self, name: str, again: bool) -> Outcome:
        folder, learner, here = self.room.folder, self.room.preferences.learner, self.room.darkroom

        def opening() -> Any:
            from sim.window.lesson_desk import start_lesson

            return start_lesson(folder, name, learner, again, here)

        def opened(found: Any) -> Outcome:
            damage = self.room.take_up(*found)
            told = self.room.words.text("The lesson is open: {title}", title=found[1].exercise.title)
            return Outcome(say=damage or told, warn=bool(damage), rebuild=True)

        words = self.room.words.text("The box of paper is put on the table …")
        if self.room.bench_asked:
            return said(self.room.busy_words)
        self.room.later(opening, opened, words)
        return said(words)

    def _to_shelf(self) -> Outcome:
        self.on_shelf = True
        self.shelf.read()
        return Outcome(layout=True)

    def refresh(self) -> None:
        """Copy the lesson's step into the controls."""
        run = self.room.lesson
        if run is None:
            self.on_shelf = True
        else:
            run.words = self.room.words
        if self.on_shelf and self.shelf.found is None:
            self.shelf.read()
        self.shelf.show(self.on_shelf)
        for control in self.run_controls:
            control.visible = not self.on_shelf
        if run is not None and not self.on_shelf and not self.room.bench_asked:  # the lesson is read when its hands are free
            self._show(run.step)

    def _show(self, step: Any) -> None:
        t = self.room.words.text
        self.step = step
        self.text.show((*self._assigned(step), *paragraphs(step, t)))
        if (step.stage, len(step.sheets)) != self._stage:
            self._stage = (step.stage, len(step.sheets))
            self.own_words.value, self.answers.value, self.answers.first = "", "", 0
            self.sheets.value = str(len(step.sheets) or "")
        self.answers.label = step.question
        self.answers.rows = [Row(choice.key, choice.words) for choice in step.choices]
        self.answers.visible = bool(step.choices)
        self.own_words.visible = bool(step.choices) and step.stage in ("predict", "see")
        marked = {line.number for line in step.sheets if line.nominated} | self.counting
        self.sheets.rows = [
            Row(str(line.number), f"{line.number}  {line.words}", "", "pin" if line.number in marked else "")
            for line in reversed(step.sheets)
        ]  # fmt: skip
        self.sheet.want(step.sheet)
        asks = {
            "brief": t("Go on"),
            "predict": t("That is what I expect"),
            "see": t("That is what I see"),
            "explain": t("That is why"),
        }
        self.on.label = asks.get(step.stage, t("Show me") if "play" in step.allowed else t("Predict the next"))
        self.on.visible = bool(step.choices) or step.stage == "brief" or "play" in step.allowed
        self.hint.why_not = "" if "hint" in step.allowed else (step.no_hint or t("not at this moment"))
        self.nominate.why_not = (
            "" if "nominate" in step.allowed else t("there is no whole print to name, or something else comes first")
        )
        self.hand_in.why_not = "" if "hand-in" in step.allowed else t("name the sheet that counts first")
        self._layout_run(self.area)

    def _assigned(self, step: Any) -> tuple[str, ...]:
        """What a course asks stands before the task."""
        from sim.window.lesson_desk import assignment_of

        run = self.room.lesson
        if step.stage != "brief":
            return ()
        if self._assignment is None:
            self._assignment = (assignment_of(run),)
        return assigned_words(self._assignment[0], run.evening.state.opening.attempt, self.room.words.text)

    def layout(self, area: Rect) -> None:
        """Lay out shelf and lesson; both fill the place."""
        self.area = area
        self.shelf.layout(area)
        self._layout_run(area)

    def _layout_run(self, area: Rect) -> None:
        look = self.room.look
        side, rest = cut_left(area, look.px(190), look.px(16))
        keys, rest = cut_bottom(rest, look.px(46), look.px(12))
        self.path, under = cut_top(side, path_height(look.px), look.px(10))
        shelf, under = cut_bottom(under, look.px(34), look.px(8))
        counts, under = cut_bottom(under, look.px(34), look.px(8))
        self.to_shelf.rect, self.nominate.rect, self.sheets.rect = shelf, counts, under
        self.middle, self.right = columns(rest, [11, 10], look.px(16))
        x = keys.x
        for control, width in ((self.on, 220), (self.enlarger, 150), (self.hint, 110), (self.hand_in, 120)):
            big = control is self.on
            control.rect = Rect(x, keys.y + look.px(0 if big else 6), look.px(width), look.px(46 if big else 34))
            x += look.px(width + 10) if control.visible else 0
        self._layout_words(inset(self.middle, look.px(6), look.px(8)))

    def _layout_words(self, inner: Rect) -> None:
        """From below: own words, answers; the text above; what is left over shows the sheet, if that is enough."""
        look = self.room.look
        if self.own_words.visible:
            self.own_words.rect, inner = cut_bottom(inner, look.px(76), look.px(8))
        if self.answers.visible:
            rows = min(7, max(1, len(self.answers.rows)))
            height = look.px(28 * rows + 2) + look.line_height("small") + look.px(4)
            self.answers.rect, inner = cut_bottom(inner, min(inner.h * 6 // 10, height), look.px(10))
        needed = self.text.height_for(look, inner.w)
        left = inner.h - needed - look.px(10)
        self.sheet_rect = None
        looked_at = self.step is not None and self.step.stage == "see"  # then it has the plate at the right to itself
        if self.step is not None and self.step.sheet and not looked_at and left >= look.px(LEAST_SHEET):
            self.sheet_rect, inner = cut_bottom(inner, left, look.px(10))
        self.text.rect = inner

    def act(self, action: str) -> Outcome:
        """The lesson's own keys."""
        if action == "lesson-enlarger":
            return Outcome(go_to="enlarger") if self.room.darkroom is not None else UNUSED
        if self.on_shelf:
            return self.shelf.act(action)
        button = {"lesson-on": self.on, "lesson-hint": self.hint, "lesson-shelf": self.to_shelf}.get(action)
        if button is None or not button.visible:
            return UNUSED
        return button.refused() if button.locked else (button.press() or Outcome())

    def _answered(self, _: str) -> None:
        """Choosing is not yet saying."""

    def _go_on(self) -> Outcome:
        run, step, t = self.room.lesson, self.step, self.room.words.text
        if self.room.bench_asked:
            return said(self.room.busy_words)
        if step.stage == "brief":
            run.begin()
            return Outcome()
        if "play" in step.allowed and step.stage == "make":
            self.room.later(
                run.play, lambda _: said(t("The sheet is dry: look at it.")), t("The sheet is made and developed …")
            )
            return Outcome()
        if not self.answers.value:
            return said(t("Choose an answer first."))
        if step.stage == "see":
            run.see(self.answers.value, self.own_words.value)
        elif step.stage == "explain":
            run.why(self.answers.value)
        else:
            run.predict(self.answers.value, self.own_words.value)
            return said(
                t("It is written down. Now make it at the enlarger.")
                if not run.shown_next
                else t("It is written down.")
            )
        return said(t("It is written down."))

    def _hint(self) -> Outcome:
        self.room.lesson.hint()
        return Outcome()

    def _counts(self, key: str) -> None:
        """Enter on a sheet puts it among those that count, or takes it out."""
        self.counting ^= {int(key)}

    def _nominate(self) -> Outcome:
        t = self.room.words.text
        if self.room.bench_asked:
            return said(self.room.busy_words)
        outcome = count_in(self.room, sorted(self.counting) or [int(self.sheets.value or 0)], t("Here are the marks."))
        self.counting.clear()
        return outcome

    def _hand_in(self) -> Outcome:
        run = self.room.lesson
        out: Path = run.evening.file.with_name(f"handed-in-{run.exercise.name}.jsonl")
        run.hand_in(out)
        return said(self.room.words.text("Handed in: {file}", file=out))

    def draw(self, canvas: Canvas) -> None:
        """Shelf with its progress picture, or path, words, readings."""
        t = self.room.words.text
        if self.on_shelf:
            self.shelf.draw(canvas)
        elif self.step is not None:
            draw_path(canvas, self.path, self.step.stage, t)
            canvas.panel(self.middle)
            if self.sheet_rect is not None:
                self.sheet.draw(canvas, self.sheet_rect)
            self._draw_readings(canvas, canvas.panel(self.right, self.step.title))
        super().draw(canvas)

    def _draw_readings(self, canvas: Canvas, rect: Rect) -> None:
        look, step, t = canvas.look, self.step, self.room.words.text
        words, rest = reading_words(step, self.room.words), rect
        if step.marks is not None or step.readings:
            marks, economy = (step.marks.marks, step.marks.economy) if step.marks else (step.readings, None)
            total = (step.marks.points, step.marks.full_points) if step.marks else None
            used = draw_marks(canvas, Rect(rect.x, rect.y, rect.w, rect.h * 6 // 10), marks, economy, total, t)
            _, rest = cut_top(rect, used, look.px(12))
        elif step.strip:
            height = look.px(24) * (len(step.strip) + 1)
            draw_strip_readings(canvas, Rect(rect.x, rect.y, rect.w, height), step.strip, t)
            _, rest = cut_top(rect, height, look.px(12))
        if step.sheet and self.sheet_rect is None:
            share = 85 if step.stage == "see" else 55
            picture, rest = cut_bottom(rest, rest.h * share // 100, look.px(10))
            self.sheet.draw(canvas, picture)
        left = rest
        for paragraph, size, colour in words:
            need = len(look.wrapped(paragraph, left.w, size)) * look.line_height(size)
            if left.h < look.line_height(size):
                break
            drawn = canvas.lines(paragraph, Rect(left.x, left.y, left.w, min(need, left.h)), size, colour, shorten=True)
            _, left = cut_top(left, drawn.h, look.px(8))
