"""The shelf of lessons: the syllabus with what has been shown so far, the task of the one chosen, and its attempts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pygame import Rect

from sim.window.kit.boxes import columns, cut_bottom, cut_left, cut_top, inset
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import Row, ScrollList
from sim.window.kit.events import UNUSED, Outcome, said
from sim.window.kit.notes import LongNote, NoteField, TextNote
from sim.window.kit.screen import Screen
from sim.window.lesson_drawing import draw_progress


class ShelfPart:
    """Controls and picture of the shelf; ``opened(slug, again)`` opens a lesson."""

    def __init__(self, screen: Screen, opened: Callable[[str, bool], Outcome]):
        self.room = screen.room
        self.opened = opened
        self.found: Any = None
        self.plate = self.picture = Rect(0, 0, 0, 0)
        t, add = self.room.words.text, screen.add
        self.lessons = add(ScrollList("lessons", t("Lessons"), change=self._chosen, open=lambda _: self.begin(False)))
        self.task = add(LongNote("task", t("What it is about")))
        label = t("Your name or number, for handing in")
        self.learner = add(NoteField("learner", label, self.room.preferences.learner, self._named, 60))
        self.start = add(PushButton("begin", t("Begin"), lambda: self.begin(False), big=True))
        self.again = add(PushButton("begin-again", t("Begin anew"), lambda: self.begin(True)))
        self.recall = add(PushButton("recall", t("Recall first"), lambda: self.drill("recall")))
        self.drills = add(PushButton("drills", t("Drills"), lambda: self.drill("")))
        self.due = TextNote("due", "", "small", soft=True, shorten=True)
        self.due_skills: tuple[str, ...] = ()
        self.controls = [self.lessons, self.task, self.learner, self.start, self.again, self.drills]

    def show(self, on: bool) -> None:
        """Show or hide the shelf; a new attempt is offered where there was one before."""
        for control in self.controls:
            control.visible = on
        self.again.visible = on and self.start.label == self.room.words.text("Carry on")
        self.recall.visible = on and bool(self.due_skills)

    def drill(self, wanted: str) -> Outcome:
        """Go to the drills; ``recall``: to what is to be recalled today."""
        self.room.wanted_drill = wanted
        return Outcome(go_to="drills")

    def act(self, action: str) -> Outcome:
        """The shelf's own keys."""
        if action == "lesson-on":
            return self.begin(False)
        if action == "lesson-drills":
            return self.drill("")
        if action == "lesson-recall":
            none = self.room.words.text("Nothing is due to be recalled today.")
            return self.drill("recall") if self.due_skills else said(none)
        return UNUSED

    def _read_due(self) -> None:
        from sim.window.lesson_desk import due_today

        t = self.room.words.text
        self.due_skills = due_today(self.room.folder, self.room.preferences.learner, self.room.today)
        count = len(self.due_skills)
        self.recall.label = self.room.words.count("Recall first: {n} item", "Recall first: {n} items", count)
        names = ", ".join(skill.replace("-", " ") for skill in self.due_skills)
        self.due.text = t("Met before, and due today: {skills}", skills=names)

    def read(self) -> None:
        """Read syllabus and progress. Raises OutsideError."""
        from sim.window.lesson_desk import shelf_of

        self.found = shelf_of(self.room.folder, self.room.preferences.learner)
        self._read_due()
        t, rows = self.room.words.text, []
        for one in self.found.lessons:
            note = f"{one.best_share:.0%}" if one.best_share is not None else ""
            note = t("next") if one.slug == self.found.next_slug else note
            rows.append(Row(one.slug, t(one.title), note, one.mark))
        self.lessons.rows = rows
        if self.lessons.index < 0 and rows:
            self.lessons.value = self.found.next_slug or rows[0].key
            self.lessons.first = max(0, self.lessons.index - 3)
        if rows:
            self._chosen(self.lessons.value)

    def _chosen(self, slug: str) -> None:
        from sim.window.lesson_desk import attempts, brief_steps

        one = next(lesson for lesson in self.found.lessons if lesson.slug == slug)
        t = self.room.words.text
        met = min(one.negatives_met, one.negatives_needed)
        state = [t("Skill met on {n} of {all} negatives.", n=met, all=one.negatives_needed)]
        if one.needs:
            names = ", ".join(need.replace("-", " ") for need in one.needs)
            state.append(t("Comes after: {skills}. You may look at it all the same.", skills=names))
        self.task.show((" ".join(state), *brief_steps(slug)[1]))
        self.start.label = t("Carry on") if attempts(self.room.folder, slug) else t("Begin")

    def _named(self, name: str) -> Outcome:
        return Outcome(prefer=replace(self.room.preferences, learner=name.strip()[:60]))

    def begin(self, again: bool) -> Outcome:
        """Open the lesson that is chosen."""
        return self.opened(self.lessons.value, again)

    def layout(self, area: Rect) -> None:
        """The list at the left; task, attempts, name and buttons on a plate at the right."""
        look = self.room.look
        left, right = columns(area, [9, 11], look.px(20))
        left = self._lay_recall(left)
        foot, left = cut_bottom(left, look.px(34), look.px(10))
        self.drills.rect, _ = cut_left(foot, look.px(150))
        self.lessons.rect, self.plate = left, right
        inner = inset(right, look.px(16), look.px(14))
        keys, inner = cut_bottom(inner, look.px(46), look.px(12))
        self.start.rect, rest = cut_left(keys, look.px(170), look.px(10))
        self.again.rect = Rect(rest.x, rest.y + look.px(6), min(rest.w, look.px(150)), look.px(34))
        self.learner.rect, inner = cut_bottom(inner, look.line_height("small") + look.px(36), look.px(10))
        self.picture, inner = cut_bottom(inner, min(inner.h * 3 // 10, look.px(170)), look.px(12))
        self.task.rect = inner

    def _lay_recall(self, left: Rect) -> Rect:
        """What is to be recalled today stands above the lessons; returns what is left for them."""
        look = self.room.look
        if not self.due_skills:
            return left
        row, left = cut_top(left, look.px(34), look.px(4))
        self.recall.rect, _ = cut_left(row, min(row.w, self.recall.wanted(look)[0] + look.px(10)))
        self.due.rect, left = cut_top(left, look.line_height("small"), look.px(10))
        return left

    def draw(self, canvas: Canvas) -> None:
        """The plate and the picture of the attempts."""
        canvas.panel(self.plate)
        if self.due_skills:
            self.due.draw(canvas, False)
        curves = [(one.title, one.curve, one.passed) for one in self.found.lessons] if self.found else []
        draw_progress(canvas, self.picture, curves, self.room.words.text)
