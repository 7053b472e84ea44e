"""Drills: short rounds on one decision, on pictures in neutral white light; an item, its answer, its mark, the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pygame
from pygame import Rect, Surface

from sim.scoring.syllabus import read_syllabus
from sim.teaching.drill_boards import SCALE_STEPS_L, step_scale_board
from sim.teaching.drill_item import DrillAnswer, DrillItem
from sim.teaching.drill_rounds import RECALL, DrillRound, drill_round, recall_round
from sim.teaching.progress import DrillDone, read_progress
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_left, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.kit.picture import grey_surface, scaled
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.teacher.drill_answers import Answering, Board
from sim.window.teacher.drill_words import about
from sim.window.theme import WHITE_LIGHT
from sim.window.things.in_room import InRoom, Plate
from sim.window.things.rows import along_the_foot

NOWHERE = Rect(0, 0, 0, 0)


class DrillRow(InRoom):
    """One drill of the list: touched, a round begins."""

    def __init__(self, sheet: DrillSheet, slug: str, title: str):
        super().__init__(sheet.room, f"drill {slug}")
        self.key_of_words = "drill row"
        self._sheet, self.slug, self._title = sheet, slug, title

    def name(self) -> str:
        """What it asks."""
        return self.room.words.text(self._title)

    def about(self) -> str:
        """What it asks, and how the last rounds went."""
        return " ".join(about(self.slug, self._sheet.rounds(self.slug), self.room.words.text))

    def pressed(self) -> None:
        """Begin a round."""
        self._sheet.begin(self.slug)

    def draw(self, canvas: Canvas) -> None:
        """Title and last score; below what it asks."""
        look, rect = canvas.look, self.rect
        pygame.draw.rect(canvas.surface, look.colour("raised" if self.hot else "sunk"), rect, border_radius=look.px(5))
        inner = rect.inflate(-look.px(16), -look.px(8))
        rounds = self._sheet.rounds(self.slug)
        note = self.room.line("of items", n=rounds[-1].right, all=len(rounds[-1].errors)) if rounds else ""
        wide = look.width(note, "small") + look.px(12) if note else 0
        canvas.text(self.name(), inner.topleft, "strong", "ink", room=inner.w - wide, shorten=True)
        if note:
            canvas.text(note, inner.topright, "small", "soft", "topright")
        top = inner.y + look.line_height("strong")
        words = about(self.slug, (), self.room.words.text)[0]
        canvas.lines(words, Rect(inner.x, top, inner.w, inner.bottom - top), "small", "soft", shorten=True)


class TrialRow(Plate):
    """How far down the step scale both halves are seen."""

    def __init__(self, room: OneRoom, row: int, tried: Callable[[int], None]):
        super().__init__(room, f"rows seen {row + 1}", lambda: tried(row))
        self.key_of_words, self._row = "rows seen", row

    def name(self) -> str:
        """Which row."""
        return self.room.line("rows down to", n=self._row + 1)


class DrillSheet(Overlay):
    """The list of drills, the screen's trial before the first, a round under way, and its end."""

    share = (0.97, 0.97)
    outside = True

    def __init__(self, room: OneRoom, which: str = ""):
        super().__init__(room, done="close")
        self.round: DrillRound | None = None
        self.item: DrillItem | None = None
        self.marked: DrillAnswer | None = None
        self.drill, self._wanted = "", ""
        self._picture: tuple[Surface, Surface] | None = None
        self._trial: Surface | None = None
        self._read()
        self.answering: Answering | None = None
        self.board = Board(room, self._touched)
        self.say = Plate(room, "drill say", self.go_on)
        self.next, self.end = Plate(room, "drill next", self.go_on), Plate(room, "drill end", self.leave)
        self.again, self.all = Plate(room, "drill again", lambda: self.begin(self.drill)), Plate(room, "all drills", self.leave)
        self.screen = Plate(room, "try screen", self._try)
        self.trial_rows = [TrialRow(room, n, self._tried) for n in range(len(SCALE_STEPS_L))]
        if which == RECALL:
            self.begin(RECALL)

    def _read(self) -> None:
        self._progress = read_progress(self.room.folder, self.room.preferences.learner)
        self.rows = [DrillRow(self, one.slug, self.room.said(one.title)) for one in read_syllabus().drills]

    def rounds(self, slug: str) -> Sequence[DrillDone]:
        """Return the last rounds of a drill."""
        return self._progress.drills.get(slug, [])

    @property
    def state(self) -> str:
        """list, trial, item, marked or end."""
        if self._trial is not None:
            return "trial"
        if self.round is None:
            return "list"
        if self.marked is not None:
            return "marked"
        return "end" if self.round.over else "item"

    # --- what is done ------------------------------------------------------------------------------------------------

    def begin(self, drill: str) -> None:
        """Begin a round; before the first ever the screen is tried."""
        if not self.room.preferences.seen_l:
            self._wanted = drill
            self._try()
            return
        folder, learner, day = self.room.folder, self.room.preferences.learner, self.room.today
        found = recall_round(folder, learner, day) if drill == RECALL else drill_round(drill, folder, learner, day)
        if found is None:
            self.room.say("nothing due")
            return
        found.least_seen_l = self.room.preferences.seen_l
        self.round, self.drill = found, drill
        self._lay_out_next()

    def _try(self) -> None:
        self._trial = grey_surface(step_scale_board())

    def _tried(self, row: int) -> None:
        """Keep what the screen shows, and go on with what was wanted."""
        self._trial = None
        self.room.prefer(replace(self.room.preferences, seen_l=SCALE_STEPS_L[row]))
        self.room.say("screen shows", l=f"{SCALE_STEPS_L[row]:g}")
        wanted, self._wanted = self._wanted, ""
        if wanted:
            self.begin(wanted)

    def _lay_out_next(self) -> None:
        """Have the next item made beside the window."""
        self.item = self.marked = self._picture = self.answering = None
        found = self.round
        if found is not None and not found.over:
            self.room.later(found.draw, lambda item: self._came(found, item), self.room.line("item coming"))

    def _came(self, found: DrillRound, item: DrillItem) -> None:
        if found is not self.round:
            return  # another round was begun meanwhile
        self.item, surface = item, grey_surface(item.board)
        self._picture = (surface, surface)
        self.answering = Answering(self.room, item, self._answer, self.room.put_focus)
        first = (self.answering.numbers or self.answering.plates)[0]
        self.room.put_focus(first)

    def _answer(self, text: str) -> None:
        if self.round is not None and self.item is not None and self.marked is None:
            self.marked = self.round.answer(self.item, text, self.room.folder)
            self.room.put_focus(None)

    def _touched(self, x: float, y: float) -> None:
        if self.answering is not None and self.state == "item":
            self.answering.touch(x, y)

    def go_on(self) -> None:
        """Say the numbers; once they are marked, the next item or the end."""
        if self.state == "marked":
            self.room.put_focus(None)
            self._lay_out_next()
        elif self.answering is not None:
            self.answering.said()

    def leave(self) -> None:
        """End the round where it is; one with answers shows its end first."""
        found = self.round
        if found is not None and found.answers and not found.over:
            found.stop()
        else:
            self.round = None
            self._read()
        self.item = self.marked = self._picture = self.answering = None

    def key(self, key: Key) -> bool:
        """J goes on, E ends the round, digits touch a step or a number of the picture."""
        state = self.state
        if key.chord == "j" or (key.chord == "return" and state == "marked"):
            self.room.guarded(self.again.pressed if state == "end" else self.go_on)
            return True
        if key.chord == "e" and state in ("item", "marked", "end"):
            self.room.guarded(self.leave)
            return True
        if state == "item" and self.answering is not None and key.chord in [one.key for one in self.answering.item.choices]:
            self.room.guarded(lambda: self._answer(key.chord))
            return True
        return False

    # --- what is seen ------------------------------------------------------------------------------------------------

    def things(self) -> Sequence[Thing]:
        """Return what belongs to the state."""
        state = self.state
        if state == "list":
            return [*self.rows, self.screen, self.done]
        if state == "trial":
            return self.trial_rows
        if state == "end":
            return [*([self.again] if self.drill != RECALL else []), self.all, self.done]
        found: list[Thing] = [self.board]
        if self.answering is not None and state == "item":
            found += [*self.answering.numbers, *self.answering.shown_plates(), *([self.say] if self.answering.numbers else [])]
        return [*found, *([self.next] if state == "marked" else []), self.end]

    def lay_out(self, area: Rect) -> None:
        """The picture at the left, words and answers at the right."""
        super().lay_out(area)
        px, state = self.room.px, self.state
        if state == "list":
            self._lay_out_list()
        high = self.done.wanted()[1]
        self.left, self.right = cut_left(self.inner, self.inner.w * 58 // 100, px(16))
        foot = Rect(self.right.x, self.right.bottom - high, self.right.w, high)
        plates = {"list": [self.screen, self.done], "trial": [], "end": [self.again, self.all, self.done],
                  "marked": [self.next, self.end]}.get(state, [self.say, self.end])  # fmt: skip
        along_the_foot([plate for plate in reversed(plates) if plate in self.things()], foot, px(8))
        if self._picture is not None:
            self.board.rect = fit(self._picture[0].get_size(), self.left.inflate(-px(16), -px(16)))
        self._words = Rect(self.right.x, self.right.y, self.right.w, foot.y - self.right.y - px(8))
        if state == "trial":
            self._lay_out_trial()
        if self.answering is not None and state == "item":
            self._lay_out_answers()

    def _lay_out_list(self) -> None:
        px, look = self.room.px, self.room.look
        high = min(look.line_height("strong") + 2 * look.line_height("small") + px(12),
                   (self.inner.h - self.done.wanted()[1] - px(10)) // max(1, (len(self.rows) + 1) // 2) - px(6))  # fmt: skip
        wide = (self.inner.w - px(12)) // 2
        for n, row in enumerate(self.rows):
            row.rect = Rect(self.inner.x + (n % 2) * (wide + px(12)), self.inner.y + (n // 2) * (high + px(6)), wide, high)

    def _lay_out_trial(self) -> None:
        px, y = self.room.px, self._words.y
        y += len(self.room.look.wrapped(self.room.line("rows asked"), self._words.w)) * self.room.look.line_height() + px(14)
        for plate in self.trial_rows:
            wide, high = plate.wanted()
            plate.rect = Rect(self._words.x, y, wide, high)
            y += high + px(8)

    def _lay_out_answers(self) -> None:
        """From the foot upwards, below the question."""
        assert self.answering is not None
        px, look, answering = self.room.px, self.room.look, self.answering
        x, y, row = self._words.x, self._words.y + self._question_high(), 0
        for number in answering.numbers:
            number.rect = Rect(x, y, self._words.w, look.line_height("small") + px(14))
            y = number.rect.bottom + px(6)
        at = x
        for plate in answering.plates:
            plate.rect = NOWHERE
        for plate in answering.shown_plates():
            wide = min(self._words.w, look.width(plate.short) + px(24))
            high = plate.high_for(wide, "body")
            if at > x and at + wide > self._words.right:
                at, y = x, y + row + px(6)
            plate.rect, row = Rect(at, y, wide, high), high
            at += wide + px(6)

    def _question_high(self) -> int:
        look, wide = self.room.look, self._words.w
        if self.item is None:
            return 0
        return 2 * look.line_height("title") + sum(
            len(look.wrapped(self.room.said(words), wide)) * look.line_height() + look.px(8)
            for words in (self.item.question, *self.item.facts)
        )

    def draw(self, canvas: Canvas) -> None:
        """The sheet, what belongs to the state, and its things."""
        state = self.state
        self.title = self._title()
        super().draw(canvas)
        if state == "trial" and self._trial is not None:
            self._draw_picture(canvas, self._trial, fit(self._trial.get_size(), self.left))
            canvas.lines(self.room.line("rows asked"), self._words, "body", "ink")
        elif state != "list":
            self._draw_round(canvas, state)

    def _title(self) -> str:
        state, now = self.state, self.round.now if self.round else None
        if state in ("list", "trial") or now is None:
            return self.room.line("drills about")
        if self.drill == RECALL:
            skill = self.room.place_name(now.skill)
            return self.room.line("recall title") if state == "end" else self.room.line("recall skill", skill=skill)
        return next((row.name() for row in self.rows if row.slug == self.drill), self.drill)

    def _draw_round(self, canvas: Canvas, state: str) -> None:
        look, found = canvas.look, self.round
        assert found is not None
        self._draw_items(canvas, found)
        rect = Rect(self._words.x, self._words.y + look.line_height("title"), self._words.w, 0)
        rect.h = self._words.bottom - rect.y
        if state == "end":
            words = self._summary(found)
        elif self.item is None:
            words = [self.room.line("item coming")]
        else:
            words = [self.room.said(one) for one in (self.item.question, *self.item.facts)]
            if self.marked is not None:
                near = self.room.line("near enough" if self.marked.right else "not near")
                words.insert(0, f"{near} {self.room.said(self.marked.words)}")
        y = rect.y
        for n, one in enumerate(words):
            strong = n == 0 and state != "end"
            drawn = canvas.lines(one, Rect(rect.x, y, rect.w, max(1, rect.bottom - y)), "body", "ink" if strong else "soft")
            y = drawn.bottom + look.px(8)
        if self._picture is not None:
            shown = self._picture[1]
            if shown.get_size() != self.board.rect.size:
                shown = scaled(self._picture[0], self.board.rect.size)
                self._picture = (self._picture[0], shown)
            self._draw_picture(canvas, shown, self.board.rect)
        if state == "marked" and self.item is not None:
            self._draw_right(canvas, self.item)
        if state == "end":
            self._draw_errors(canvas, found)

    def _draw_right(self, canvas: Canvas, item: DrillItem) -> None:
        """Ring what was right on the picture."""
        look, rect = canvas.look, self.board.rect
        for key, x, y in item.touched:
            if item.answer_choice == key or item.answer_choice.startswith(f"{key}-"):
                at = (rect.x + round(x * rect.w), rect.y + round(y * rect.h))
                pygame.draw.circle(canvas.surface, (0, 0, 0), at, look.px(19), look.px(5))
                pygame.draw.circle(canvas.surface, (255, 255, 255), at, look.px(18), look.px(3))

    def _draw_picture(self, canvas: Canvas, picture: Surface, rect: Rect) -> None:
        pygame.draw.rect(canvas.surface, WHITE_LIGHT.ground, self.left, border_radius=canvas.look.px(4))
        canvas.surface.blit(scaled(picture, rect.size), rect)

    def _draw_items(self, canvas: Canvas, found: DrillRound) -> None:
        """A sign for each item: tick, cross, a ring where one stands, a dot for what is to come."""
        look, count = canvas.look, len(found.asked)
        step = min(look.px(28), self._words.w // max(1, count))
        for n in range(count):
            centre = (self._words.x + step * n + step // 2, self._words.y + look.line_height() // 2)
            sign = "ring" if n == len(found.answers) else "dot"
            if n < len(found.answers):
                sign = "tick" if found.answers[n].right else "cross"
            canvas.mark(sign, centre, look.px(8 if sign == "dot" else 14), "faint" if sign == "dot" else "ink")

    def _draw_errors(self, canvas: Canvas, found: DrillRound) -> None:
        """How far off each answer was, in tolerances: what stays below the line was near enough."""
        look, most = canvas.look, 3.0
        body = self.left.inflate(-look.px(40), -self.left.h // 2)
        canvas.line((body.x, body.bottom), (body.right, body.bottom), "edge")
        near = body.bottom - round(body.h / most)
        canvas.line((body.x, near), (body.right, near), "soft")
        canvas.text(self.room.line("near enough"), (body.x, near + look.px(2)), "small", "soft")
        step = body.w / max(1, len(found.answers))
        for n, answer in enumerate(found.answers):
            high = max(look.px(2), round(body.h * min(answer.error, most) / most))
            bar = Rect(round(body.x + step * (n + 0.25)), body.bottom - high, max(look.px(4), round(step * 0.5)), high)
            pygame.draw.rect(canvas.surface, look.colour("soft" if answer.right else "ink"), bar, border_radius=look.px(2))
            canvas.text(str(n + 1), (bar.centerx, body.bottom + look.px(4)), "small", "soft", "midtop")

    def _summary(self, found: DrillRound) -> list[str]:
        done, line = found.answers, self.room.line
        words = [line("of items", n=found.right, all=len(done))]
        if any(not one.right for one in done):
            worst = max(range(len(done)), key=lambda n: done[n].error)
            words.append(line("farthest", n=worst + 1, what=self.room.said(done[worst].words)))
        elif done:
            words.append(line("round near"))
        if any(what.skill for what, _ in zip(found.asked, done)):
            words.append(line("recall later"))
        return words
