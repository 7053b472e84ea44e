"""The card with the task: what is to be done, what is asked for, what may be decided, and the paper allowed."""

from __future__ import annotations

from collections.abc import Sequence

from pygame import Rect

from sim.notebook.control_words import control_words
from sim.notebook.mark_words import kind_words
from sim.scoring.criterion_measures import asked_for
from sim.scoring.exercise import CONTROL_NAMES, Criterion
from sim.scoring.hints import brief_of
from sim.teaching.lesson import LessonRun
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom
from sim.window.kit.canvas import Canvas
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.teacher.lines import assigned_words
from sim.window.things.above import Corner
from sim.window.things.in_room import Plate
from sim.window.things.rows import along_the_foot

Words = tuple[str, str, str]  # words, size, colour


class TaskSign(Corner):
    """A small card in the corner of the room while a lesson is under way: touched, it is large."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "task", "▤", lambda: lay_task_card(room))

    @property
    def shown(self) -> bool:
        """In a lesson only."""
        return self.room.lesson is not None and self.rect.w > 0

    def draw(self, canvas: Canvas) -> None:
        """The card."""
        if self.shown:
            super().draw(canvas)


def lay_task_card(room: OneRoom) -> None:
    """Have the card laid over the room."""
    run = room.lesson
    if run is not None:
        room.wanted_over = lambda: TaskCard(room, run)


class TaskCard(Overlay):
    """Large enough to read from where one stands; longer ones are turned over."""

    share = (0.9, 0.95)

    def __init__(self, room: OneRoom, run: LessonRun):
        super().__init__(room, room.said(run.exercise.title), "close")
        self._left, self._right = _steps(room, run), _asked(room, run)
        self.more = Plate(room, "rows on", self._turn)
        self._side, self._sides = 0, [self._left]
        self._two = True

    def _turn(self) -> None:
        self._side = (self._side + 1) % len(self._sides)

    def things(self) -> Sequence[Thing]:
        """Return the plates."""
        return [self.done, self.more]

    def lay_out(self, area: Rect) -> None:
        """Two columns where both fit, else the card has as many sides as it needs."""
        super().lay_out(area)
        px, high = self.room.px, along_the_foot((self.done, self.more), self.inner, self.room.px(10))
        self._room = cut_bottom(self.inner, high, px(8))[1]
        half = (self._room.w - px(24)) // 2
        self._two = max(self._high(self._left, half), self._high(self._right, half)) <= self._room.h
        self._sides = [self._left] if self._two else self._turned_over([*self._left, *self._right])
        self._side = min(self._side, len(self._sides) - 1)
        self.more.rect = Rect(0, 0, 0, 0) if self._two else self.more.rect

    def _turned_over(self, words: Sequence[Words]) -> list[list[Words]]:
        """Return what stands on each side of the card."""
        sides: list[list[Words]] = [[]]
        for one in words:
            if sides[-1] and self._high([*sides[-1], one], self._room.w) > self._room.h:
                sides.append([])
            sides[-1].append(one)
        return sides

    def _high(self, words: Sequence[Words], wide: int) -> int:
        look = self.room.look
        each = (len(look.wrapped(one, wide, size)) * look.line_height(size) + look.px(6) for one, size, _ in words)
        return sum(each)

    def draw(self, canvas: Canvas) -> None:
        """The card."""
        super().draw(canvas)
        if self._two:
            half = (self._room.w - self.room.px(24)) // 2
            self._write(canvas, self._left, Rect(self._room.x, self._room.y, half, self._room.h))
            self._write(canvas, self._right, Rect(self._room.right - half, self._room.y, half, self._room.h))
        else:
            self._write(canvas, self._sides[self._side], self._room)

    def _write(self, canvas: Canvas, words: Sequence[Words], rect: Rect) -> None:
        look, y = canvas.look, rect.y
        for size in ("title", "body", "small"):  # as large as there is room for: it is read from where one stands
            set_so = [(one, size if given == "body" else given, colour) for one, given, colour in words]
            if self._high(set_so, rect.w) <= rect.h:
                break
        for one, size, colour in set_so:
            drawn = canvas.lines(one, Rect(rect.x, y, rect.w, max(1, rect.bottom - y)), size, colour)
            y = drawn.bottom + look.px(6)


def _steps(room: OneRoom, run: LessonRun) -> list[Words]:
    given = [(words, "body", "soft") for words in assigned_words(room, run)]
    return [*given, *((" ".join(step.split()), "body", "ink") for step in brief_of(run.folder, room.words.language).steps)]


def _asked(room: OneRoom, run: LessonRun) -> list[Words]:
    """Return the aims, what is free, and the paper: what the exercise's file says."""
    exercise, box = run.exercise, run.exercise.box
    found: list[Words] = [(room.line("asked for"), "strong", "ink")]
    found += [(_aim(room, run, one), "body", "ink") for one in exercise.criteria if not one.hidden and one.counts]
    found.append((room.line("passes at", share=f"{exercise.pass_share:.0%}"), "body", "soft"))
    allowed = room.line("allowed", sheets=box.sheets, minutes=f"{box.minutes:.0f}", expected=f"{box.expected_sheets:g}")
    state = run.evening.state
    left = room.line("left in box", sheets=f"{state.sheets_left:g}", minutes=f"{state.minutes_left:.0f}")
    free = [control_words(name, room.words) for name in CONTROL_NAMES if name in exercise.unlocked]
    kept = [control_words(name, room.words) for name in CONTROL_NAMES if name not in exercise.unlocked]
    found += [(allowed, "body", "ink"), (left, "body", "soft")]
    found.append((room.line("free controls", names=", ".join(free)), "body", "ink"))
    if kept:
        found.append((room.line("kept controls", names=", ".join(kept)), "small", "soft"))
    return found


def _aim(room: OneRoom, run: LessonRun, one: Criterion) -> str:
    """Return one aim: where, what, how near, for how many points."""
    names = [place for spot in one.spots for negative in run.negatives[:1] if (place := spot.known_as(negative.places))]
    where = ", ".join(room.place_name(name) for name in names) or room.place_name(one.name)
    decimals = 2 if one.of_kind.unit in ("density", "") else 1
    unit = "" if one.of_kind.unit in ("density", "") else f" {room.said(one.of_kind.unit)}"
    near = room.number(one.tolerance, decimals + 1)
    wanted = room.line("wanted within", wanted=room.number(asked_for(one, run.exercise.stock), decimals), tolerance=near)
    points = room.line("points each", points=f"{one.points:g}")
    if not one.of_kind.keys:  # it is so or it is not: nothing to be read
        return f"{where[:1].upper()}{where[1:]}: {kind_words(one.kind, room.words)} · {points}"
    return f"{where[:1].upper()}{where[1:]}: {kind_words(one.kind, room.words)}, {wanted}{unit} · {points}"
