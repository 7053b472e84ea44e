"""The shelf of lessons: the syllabus with what has been shown so far, what comes next, and what is to be recalled today."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import columns
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.lesson_desk import Shelf, ShelfLesson, attempts, brief_steps, due_today, shelf_of
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.teacher.taking_up import open_lesson
from sim.window.things.in_room import AskedTwice, InRoom, Plate, flowed
from sim.window.things.written import Written

NOWHERE = Rect(0, 0, 0, 0)


class LessonRow(InRoom):
    """One lesson: touched it is chosen, touched again it opens."""

    def __init__(self, shelf: LessonShelf, lesson: ShelfLesson):
        super().__init__(shelf.room, f"lesson {lesson.slug}")
        self.key_of_words = "lesson row"
        self._shelf, self.lesson = shelf, lesson

    def name(self) -> str:
        """Its title."""
        return self.room.words.text(self.lesson.title)

    def now(self) -> str:
        """How far one is with it: the best share of the points so far, or that it comes next."""
        if self.lesson.slug == self._shelf.found.next_slug:
            return self.room.line("next mark")
        share = self.lesson.best_share
        return self.room.line("best so far", share=f"{share:.0%}") if share is not None else ""

    def pressed(self) -> None:
        """Choose it; the chosen one opens."""
        if self._shelf.chosen is self.lesson:
            self._shelf.begin(False)
        else:
            self._shelf.choose(self.lesson)

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Up and down choose the neighbour."""
        if down:
            self._shelf.step(down)
        return bool(down)

    def draw(self, canvas: Canvas) -> None:
        """Sign, title, how far."""
        look, rect = canvas.look, self.rect
        here = self._shelf.chosen is self.lesson
        if here or self.hot:
            canvas.surface.fill(look.colour("raised" if here else "sunk"), rect)
        canvas.mark(self.lesson.mark, (rect.x + look.px(12), rect.centery), look.px(13), "ink" if here else "soft")
        note = self.now()
        wide = look.width(note, "small") + look.px(10) if note else 0
        room, size = rect.w - look.px(30) - wide, "strong" if here else "body"
        size = size if look.width(self.name(), size) <= room else "small"
        canvas.text(self.name(), (rect.x + look.px(26), rect.centery), size, "ink", "midleft", room, shorten=True)
        if note:
            canvas.text(note, (rect.right - look.px(6), rect.centery), "small", "soft", "midright")


class LessonShelf(Overlay):
    """Lessons at the left, the chosen one's task and what was shown so far at the right."""

    share = (0.95, 0.96)

    def __init__(self, room: OneRoom):
        super().__init__(room, room.line("lesson title"), "close")
        self.found: Shelf = shelf_of(room.folder, room.preferences.learner)
        self.due = due_today(room.folder, room.preferences.learner, room.today)
        self.rows = [LessonRow(self, one) for one in self.found.lessons]
        self.begin_plate = Plate(room, "begin lesson", lambda: self.begin(False))
        self.carry_on = Plate(room, "carry on lesson", lambda: self.begin(False))
        self.anew = AskedTwice(room, "begin anew", lambda: self.begin(True))
        self.drills = Plate(room, "drills", lambda: self._drill("drills"))
        self.recall = Plate(room, "recall", self._recall)
        self.more = Plate(room, "rows on", self._page)
        self.learner = Written(room, "learner", room.preferences.learner, self._named, 60)
        self._first, self._per_page = 0, 1
        self.chosen = self.found.lessons[0]
        self.choose(next((one for one in self.found.lessons if one.slug == self.found.next_slug), self.chosen))

    def choose(self, lesson: ShelfLesson) -> None:
        """Choose a lesson; its task is laid beside."""
        self.chosen = lesson
        self._begun = bool(attempts(self.room.folder, lesson.slug))
        self._steps = brief_steps(lesson.slug, self.room.words.language)[1]
        n = self.found.lessons.index(lesson)
        if not self._first <= n < self._first + self._per_page:
            self._first = n - n % self._per_page

    def step(self, by: int) -> None:
        """Choose a neighbour."""
        n = self.found.lessons.index(self.chosen) + by
        self.choose(self.found.lessons[max(0, min(len(self.found.lessons) - 1, n))])

    def begin(self, again: bool) -> None:
        """Open the chosen lesson."""
        open_lesson(self.room, self.chosen.slug, again)
        self.closed = True

    def _drill(self, which: str) -> None:
        from sim.window.teacher.drill_sheet import DrillSheet

        self.room.wanted_over = lambda: DrillSheet(self.room, which)

    def _recall(self) -> None:
        if not self.due:
            self.room.say("nothing due")
        else:
            self._drill("recall")

    def _page(self) -> None:
        self._first = 0 if self._first + self._per_page >= len(self.rows) else self._first + self._per_page

    def _named(self, name: str) -> None:
        self.room.prefer(replace(self.room.preferences, learner=name))
        self.found = shelf_of(self.room.folder, name)
        self.due = due_today(self.room.folder, name, self.room.today)
        for row, lesson in zip(self.rows, self.found.lessons):
            row.lesson = lesson
        self.choose(next(one for one in self.found.lessons if one.slug == self.chosen.slug))

    def things(self) -> Sequence[Thing]:
        """Return rows, the name, plates."""
        return [
            *self.rows, self.learner, self.begin_plate, self.carry_on, self.anew, self.recall, self.drills, self.more,
            self.done,
        ]  # fmt: skip

    def lay_out(self, area: Rect) -> None:
        """As many rows as there is room for; what belongs to the chosen one beside them."""
        super().lay_out(area)
        px, look = self.room.px, self.room.look
        left, right = columns(self.inner, [10, 11], px(22))
        plates_high = self.done.wanted()[1]
        high = look.line_height() + px(7)
        body = Rect(left.x, left.y, left.w, left.h - plates_high - px(8))
        self._per_page = max(1, body.h // high)
        self._first -= self._first % self._per_page
        for n, row in enumerate(self.rows):
            k = n - self._first
            row.rect = Rect(body.x, body.y + k * high, body.w, high) if 0 <= k < self._per_page else NOWHERE
        many = len(self.rows) > self._per_page
        lower = [self.more] if many else []
        flowed([(one, one.wanted()) for one in (*lower, self.drills, *([self.recall] if self.due else []))], left, px(8))
        for plate, there in ((self.more, many), (self.recall, bool(self.due))):
            plate.rect = plate.rect if there else NOWHERE
        first = self.carry_on if self._begun else self.begin_plate
        flowed([(one, one.wanted()) for one in (first, *([self.anew] if self._begun else []), self.done)], right, px(8))
        for plate in (self.begin_plate, self.carry_on):
            plate.rect = plate.rect if plate is first else NOWHERE
        self.anew.rect = self.anew.rect if self._begun else NOWHERE
        wide, high = right.w, self.learner.high()
        self.learner.rect = Rect(right.x, right.bottom - plates_high - px(10) - high, wide, high)
        self._text = Rect(right.x, right.y, right.w, self.learner.rect.y - right.y - px(8))

    def key(self, key: Key) -> bool:
        """J opens the chosen lesson, D the drills, R what is to be recalled; arrows choose."""
        acts: dict[str, Callable[[], None]] = {
            "j": lambda: self.begin(False), "d": self.drills.pressed, "r": self._recall, "up": lambda: self.step(-1),
            "down": lambda: self.step(1), "return": lambda: self.begin(False),
        }  # fmt: skip
        return self.room.does(acts, key)

    def draw(self, canvas: Canvas) -> None:
        """The sheet, and at its right the chosen lesson."""
        super().draw(canvas)
        look, one, rect = canvas.look, self.chosen, self._text
        y = canvas.lines(self.room.words.text(one.title), rect, "title", "ink").bottom + look.px(4)
        met = min(one.negatives_met, one.negatives_needed)
        state = [self.room.line("skill so far", n=met, all=one.negatives_needed)]
        if one.needs:
            state.append(self.room.line("comes after", skills=", ".join(self.room.place_name(need) for need in one.needs)))
        if self.due:
            state.append(self.room.line("due today", skills=", ".join(self.room.place_name(skill) for skill in self.due)))
        for words in state:
            y = canvas.lines(words, Rect(rect.x, y, rect.w, rect.bottom - y), "small", "soft").bottom + look.px(2)
        curve = min(look.px(110), rect.h // 4)
        for words in self._steps:
            left = rect.bottom - curve - look.px(8) - y
            if left < look.line_height("small"):
                break
            y = canvas.lines(words, Rect(rect.x, y + look.px(4), rect.w, left), "small", "ink", shorten=True).bottom
        self._draw_attempts(canvas, Rect(rect.x, rect.bottom - curve, rect.w, curve))

    def _draw_attempts(self, canvas: Canvas, rect: Rect) -> None:
        """Every lesson a column: each attempt a point at its height, the last a disc; passed ones ticked below."""
        look = canvas.look
        title = canvas.text(self.room.line("attempts so far"), rect.topleft, "small", "soft", room=rect.w, shorten=True)
        body = Rect(rect.x, title.bottom + look.px(6), rect.w, rect.bottom - title.bottom - look.px(22))
        if body.h < look.px(20):
            return
        for share in (0.0, 0.5, 1.0):
            y = body.bottom - round(body.h * share)
            canvas.line((body.x, y), (body.right, y), "lamp-off")
        wide = body.w / len(self.found.lessons)
        for n, one in enumerate(self.found.lessons):
            count = len(one.curve) + 1
            points = [
                (round(body.x + wide * (n + (k + 1) / count)), body.bottom - round(body.h * s)) for k, s in enumerate(one.curve)
            ]
            for a, b in pairwise(points):
                canvas.line(a, b, "soft", 1.5)
            for k, point in enumerate(points):
                canvas.mark("dot", point, look.px(12 if k == len(points) - 1 else 7), "ink")
            below = (round(body.x + wide * (n + 0.5)), body.bottom + look.px(9))
            sign, size, colour = ("tick", 10, "ink") if one.passed else ("dot", 6, "faint")
            canvas.mark(sign, below, look.px(size), colour)
