"""The teacher beside you: says the lesson's lines one at a time, takes what is touched as an answer, shows what was read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from pygame import Rect

from sim.refusals import Refusal, Refused
from sim.scoring.advice_facts import Advice
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_looks import about_a_strip, said
from sim.teaching.lesson_step import Choice, Step
from sim.window.hands.thing import Thing
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.standing.room import OneRoom
from sim.window.teacher.fade import Fade
from sim.window.teacher.folded import FoldedNote
from sim.window.teacher.handing_in import HandingIn
from sim.window.teacher.hands_shown import HandsShown
from sim.window.teacher.lines import Line, advice_in, choices_of, head_words, lines_of
from sim.window.teacher.note import AnswerPlate, Note, draw_thread
from sim.window.teacher.on_print import draw_on_print, strip_readings
from sim.window.teacher.spots import Point, Spot, on_easel, on_wall, plate_at
from sim.window.teacher.taking_up import after_marks, again_words, open_lesson, to_free_work
from sim.window.teacher.target import possible_at, state_of
from sim.window.teacher.task_card import lay_task_card
from sim.window.teacher.working_out import WorkingOut
from sim.window.things.above import Corner
from sim.window.things.easel import Easel
from sim.window.things.in_room import AskedTwice, InRoom, Plate
from sim.window.things.wall import OnTheWall
from sim.window.things.written import Written

NOWHERE = Rect(0, 0, 0, 0)
MOST_WORDS, CAPTION = 400, 28


class Teacher:
    """What stands beside the learner in a lesson. ``find`` says where a thing stands, here or by the word that leads to it."""

    def __init__(
        self, room: OneRoom, find: Callable[[str], Rect], easel: Callable[[], Easel | None],
        wall: Callable[[], OnTheWall | None], kept_clear: Callable[[], list[Rect]] = list,
    ):  # fmt: skip
        self.room, self._find, self._easel, self._wall, self._kept_clear = room, find, easel, wall, kept_clear
        self.note = Note(room, self.go_on)
        self.away_sign = Corner(room, "note away", "×", self.turn_away)
        self.on, self.hint = Plate(room, "note on", self.go_on), Plate(room, "hint", self._hint)
        self.task = Plate(room, "task", lambda: lay_task_card(room))
        self.show, self.at_once = Plate(room, "show me", self._show), Plate(room, "at once", self._at_once)
        self.stop, self.anew = Plate(room, "hands stop", self.hands_stop), Plate(room, "say anew", self._another)
        self.free = Plate(room, "free work", lambda: to_free_work(room))
        self.another, self.hand_in = Plate(room, "another print", self._another), Plate(room, "hand in", self._hand_in)
        self.next, self.once_more = Plate(room, "next lesson", self._next), AskedTwice(room, "once more", self._once_more)
        self.folded = FoldedNote(room, self._unfold)
        self._opened: object = None  # the words that somebody unfolded: they stay open, whatever they lie over
        self.own = Written(room, "own words", "", lambda words: None, MOST_WORDS)
        self.hands, self.fade, self.work = HandsShown(room, find, easel), Fade(room), WorkingOut(room)
        self.waiting = False  # what comes next is still being worked out
        self.lines: tuple[Line, ...] = ()
        self.index, self.away, self.again, self.pointed = 0, False, False, ""
        self.answers: list[AnswerPlate] = []
        self.spots: dict[str, Spot] = {}
        self.there: list[Spot] = []
        self._step: Step | None = None
        self._hints, self._next_slug = 0, ""
        self._hidden_by: list[Rect] = []
        self._after: tuple[str, ...] = ()
        self._stood: object = None
        self._light = self._fault = ""
        self._told: Advice | None = None  # what the line says that a print needs
        self._told_by: tuple[object, str] = (None, "")
        self._meant = ""  # the lesson's own words of the line, whatever language it is read in
        self._plates: Sequence[Plate] = ()
        self.area = self.target = NOWHERE

    @property
    def run(self) -> LessonRun | None:
        """The lesson under way."""
        return self.room.lesson if self.room.open else None

    @property
    def line(self) -> Line | None:
        """The line that is said now."""
        return self.lines[self.index] if self.index < len(self.lines) else None

    # --- what is said ------------------------------------------------------------------------------------------------

    def update(self, dt_s: float) -> bool:
        """Follow the lesson; returns whether anything is to be drawn anew."""
        run = self.run
        if run is None:
            self._step = None
            return False
        run.words = self.room.words
        piece = self.room.darkroom.paper.piece
        if run.stage == "brief" and piece is not None and piece.exposures and not self.room.burning:
            run.begin()  # who has begun to work has read enough
        moved = self.hands.update(dt_s, run)
        if self._new(run):
            return True
        if run.stage == "see" and self._light != self._light_now():
            self._say(run)
        self._leave_when_done()
        return moved

    def _new(self, run: LessonRun) -> bool:
        """Look whether the lesson has come to another moment; a text that cannot be read is said once, not in every frame."""
        try:
            named = self._step is not None
            self.waiting = not self.work.ready(run, named)
            if self.waiting or run.step is self._step:
                return False
            self._came(run)
        except (Refusal, OSError) as error:
            if str(error) != self._fault:
                self._fault = str(error)
                raise
            return False
        return True

    def _came(self, run: LessonRun) -> None:
        """The lesson has come to another moment: its first line is said."""
        step, before = run.step, self._step
        fresh = before is None
        hint = step.hint_level > self._hints and not fresh
        self._step, self._hints = step, step.hint_level
        self.again, self.pointed, self.away = self.again and hint, "", False
        self.own.words = ""
        shown = step.stage in ("marks", "done")
        self._after, self._next_slug, title = after_marks(self.room, run) if shown else ((), "", "")
        self.next.words = partial(self.room.line, "next plate", title=title)
        self.once_more.words = partial(again_words, self.room, run)
        self._say(run, hint=hint)

    def _say(self, run: LessonRun, hint: bool = False) -> None:
        self._light, self.index = self._light_now(), 0
        self.lines = lines_of(self.room, run, self.again, hint, self._after)
        self._stood = self._state()
        self._ask(run)

    def _light_now(self) -> str:
        """Return the room's light, and whether another is possible: what is said of the cord hangs on both."""
        return self.room.light + ("" if self.room.darkroom.why_dark else ", free")

    def _ask(self, run: LessonRun) -> None:
        """Lay out the answers that belong to the moment."""
        made = {one.id: one for one in self.answers}
        choices: Sequence[Choice] = choices_of(self.room, run, self.again, self.pointed)
        self.answers = [
            made.get(f"answer {one.key}") or AnswerPlate(self.room, one.key, self.room.said(one.words), self.say, self._beside)
            for one in choices
        ]

    def _state(self) -> object:
        """What the thing of the present line stands at: once it is otherwise, the line is done."""
        return state_of(self.room, self.line.at) if self.line is not None else None

    def _leave_when_done(self) -> None:
        """What a line asks to be done is done: the next one, or none."""
        line = self.line
        if line is None or line.asks or self.away or self.hands.busy or self._state() == self._stood:
            return
        if self.index + 1 < len(self.lines):
            self._to(self.index + 1)
        elif self._step is not None and self._step.stage in ("brief", "make"):
            self.away = True

    def _to(self, index: int) -> None:
        self.index, self.pointed = index, ""
        self._stood = self._state()

    # --- what a learner does -----------------------------------------------------------------------------------------

    def go_on(self) -> None:
        """The next line; after the last of the task the lesson begins; at a question the first answer has the focus."""
        run, step = self.run, self._step
        if run is None or step is None or self.waiting:
            return
        if self.away:
            self.away = False
        elif self.hands.busy:
            return
        elif self.pointed:
            self.pointed = ""
            self._ask(run)
        elif self.index + 1 < len(self.lines):
            self._to(self.index + 1)
        elif step.stage == "brief":
            run.begin()
        elif self.line is not None and self.line.asks and self.answers:
            self.room.put_focus(self.answers[0])
        elif "play" in step.allowed and step.stage == "make":
            self._show()
        elif step.stage not in ("marks", "done"):
            self.away = True

    def _on_by_key(self) -> None:
        """Go on; where that leads to a question, the keyboard works the answers. What is folded opens first."""
        if self.is_folded and not self._silent:
            self._unfold()
            return
        self.go_on()
        if self._shown_answers() and not self.away:
            self.room.put_focus(self._shown_answers()[0])

    def turn_away(self) -> None:
        """Away with the note, or back with it; one that lay over something folds to its line."""
        if self._opened is not None and self.note.hides and not self.away:
            self._opened = None
        else:
            self.away = not self.away

    @property
    def is_folded(self) -> bool:
        """Whether the note would lie over what is needed here, and nobody has asked for it."""
        return self.note.hides and self._opened != self.note.words and not self.hands.busy

    def _unfold(self) -> None:
        self._opened = self.note.words
        if self._shown_answers():
            self.room.put_focus(self._shown_answers()[0])

    def say(self, key: str) -> None:
        """An answer was touched: it is kept with the evening. Raises what the lesson refuses, in words."""
        run, step = self.run, self._step
        if run is None or step is None:
            return
        words = self.own.now().strip()
        if step.stage == "see":
            run.see(key, words)
        elif step.stage == "explain":
            run.why(key)
        else:
            run.predict(key, words)
            self.again = False
            if step.stage == "make":
                self.room.say("kept", said=self.room.said(said(key)))
        self.room.put_focus(None)

    def point(self, key: str) -> None:
        """A step was touched, which is an answer; or a place, then one is asked how it is."""
        run = self.run
        if run is None:
            return
        if about_a_strip(key):
            self.say(key)
            return
        self.pointed, self.away, self.index = key, False, len(self.lines) - 1
        self._ask(run)
        if self.answers:
            self.room.put_focus(self.answers[0])

    def _not_so(self) -> None:
        """What was pointed at is let go, and what was said stays."""
        run = self.run
        if run is not None and self.pointed:
            self.pointed = ""
            self._ask(run)
        elif run is not None:
            self.again = False
            self._say(run)
        self.room.put_focus(None)

    def _beside(self, one: Thing, steps: int) -> None:
        shown = [plate for plate in self.answers if plate.shown]
        if one in shown:
            self.room.put_focus(shown[(shown.index(one) + steps) % len(shown)])

    def _hint(self) -> None:
        if self.run is not None:
            self.run.hint()

    def _show(self) -> None:
        if self.run is not None:
            self.hands.begin(self.run)

    def _at_once(self) -> None:
        if self.run is not None:
            self.hands.at_once(self.run)

    def hands_stop(self) -> None:
        """Let the hands rest."""
        self.hands.stop()

    def _another(self) -> None:
        if self.run is not None:
            self.again = True
            self._say(self.run)

    def _hand_in(self) -> None:
        run = self.run
        if run is not None:
            self.room.wanted_over = lambda: HandingIn(self.room, run)

    def _next(self) -> None:
        if self._next_slug:
            again = self.run is not None and self._next_slug == self.run.exercise.name
            open_lesson(self.room, self._next_slug, again=again)

    def _once_more(self) -> None:
        if self.run is not None:
            where = str(self.run.folder)
            open_lesson(self.room, where, again=True)

    def key(self, key: Key) -> bool:
        """Keys of a lesson, from wherever one stands."""
        run = self.run
        if run is None:
            return False
        acts: dict[str, Callable[[], None]] = {
            "j": self._on_by_key, "y": self.turn_away, "i": self.task.pressed, "u": self._hint_key,
        }  # fmt: skip
        if self.hands.busy:
            acts["escape"] = acts["space"] = self.hands_stop
        elif self.pointed or (self.again and run.stage == "make"):
            acts["escape"] = self._not_so
        return self.room.does(acts, key)

    def _hint_key(self) -> None:
        step = self._step
        if step is not None and "hint" not in step.allowed:
            raise Refused(step.no_hint or self.room.line("look first"))
        self._hint()

    # --- what is seen ------------------------------------------------------------------------------------------------

    @property
    def hidden(self) -> bool:
        """Hands that work want nothing in the way: while the lamp burns over paper, or a card is held, nothing is said."""
        standing = self.room.standing
        return self.run is None or self.room.burning or standing.card is not None or standing.place == "shelf"

    def things(self) -> list[InRoom]:
        """Return what can be touched, from below to above."""
        if self.hidden:
            return []
        return [*self.there, self.fade, *([] if self._silent else self._of_note())]

    def _of_note(self) -> list[InRoom]:
        if self.is_folded:
            return [self.folded]
        own = [self.own] if self.own.shown else []
        return [self.note, self.away_sign, *self._shown_answers(), *own, *self._plates]

    @property
    def _silent(self) -> bool:
        return (self.away or self.line is None) and not self.hands.busy and not self.waiting

    def _shown_answers(self) -> Sequence[AnswerPlate]:
        asks = self.line is not None and (self.line.asks or bool(self.pointed))
        return self.answers if asks and not self.hands.busy and not self.waiting else ()

    def lay_out(self, area: Rect) -> None:
        """Let the note stand beside what it means, and the places one can point at where they are."""
        run, step = self.run, self._step
        self.fade.rect = self.own.rect = NOWHERE
        for spot in self.there:
            spot.rect = NOWHERE
        self.there = []
        if run is None or step is None or self.hidden:
            return
        self.area = area
        if not self.hands.busy and not self.waiting:
            self._lay_out_spots(run, step)
        if self._silent:
            return
        line = self.line
        self._ask(run)
        act = self.hands.act if self.hands.busy else None
        self.note.title = self.room.said(run.exercise.title)
        self.note.words = self.room.said(act.words) if act else self._said(run)
        self._meant = act.words if act else self.line.words if self.line and self.note.words == self.line.said else ""
        if self._told_by[0] is not step or self._told_by[1] != self._meant:
            self._told_by, self._told = (step, self._meant), advice_in(run, step, self._meant)
        many = len(self.lines) > 1 and act is None and not self.pointed and not self.waiting
        counted = (self.index + 1, len(self.lines)) if many else None
        self.note.count, self.note.banner = head_words(self.room, None if self.waiting else step, counted)
        self._plates = self._wanted_plates(step)
        asks = self._shown_answers()
        own = self.own if asks and step.stage in ("predict", "see") and not self.pointed else None
        at = act.at if act else possible_at(self.room, line.at if line else "easel")
        self.target = self._find("easel" if at == "foot" and line is not None and line.asks else at)
        wall = self._wall()
        if wall is not None and self.room.standing.place == "wall":
            area, means = wall.area, self.target
            if means.colliderect(area):  # a print with its caption; the cord hangs elsewhere
                self.target = Rect(means.x, means.y, means.w, means.h + self.room.px(CAPTION)).clip(area)
        self._hidden_by = self._avoid()
        self.note.lay_out(area, self.target, self._hidden_by, asks, self._plates, own, self.away_sign.rect)
        self.folded.lay_out(self.area, f"{self.note.title}: {self.note.words}")

    def _said(self, run: LessonRun) -> str:
        """What stands on the note: what is being worked out, what is asked of a place, or the line."""
        if self.waiting:
            return self.room.line("one moment", what=self.work.words(run))
        return self._question() or (self.line.said if self.line else "")

    def _question(self) -> str:
        """What is asked of a place that was pointed at."""
        if not self.pointed or self._step is None:
            return ""
        key = "how is place" if self._step.stage == "see" else "how at place"
        return self.room.line(key, place=self.room.place_name(self.pointed))

    def _avoid(self) -> list[Rect]:
        """Return what the note shall not hide: everything that can be used or is looked at here, and the hands at work."""
        hands = [self.hands.covers(self.area)] if self.hands.busy else []
        slide = [self.fade.rect] if self.fade.shown else []
        wall, step = self._wall(), self._step
        read = strip_readings(self.room, wall, step) if wall and step and step.stage == "explain" else []
        plates = [plate_at(self.room.look, *plated) for plated in read]
        return [one for one in (*self._kept_clear(), *hands, *slide, *plates) if one.w and one.h]

    def _wanted_plates(self, step: Step) -> tuple[Plate, ...]:
        """Return the plates that belong to the moment."""
        if self.hands.busy:
            return self.stop, self.at_once
        if self.waiting:
            return ()
        last = self.index + 1 >= len(self.lines)
        hint = (self.hint,) if "hint" in step.allowed and step.stage != "marks" else ()
        if not last or self.pointed or step.stage == "brief":
            return self.on, self.task, *hint
        if step.stage == "make" and not self.again:
            shown = (self.show, self.at_once) if "play" in step.allowed else ()
            return (*shown, self.anew, self.task, *hint)
        if step.stage == "marks" and not self.again:
            return self._after_plates(step)
        if step.stage == "done":
            return (*([self.next] * bool(self._next_slug)), self.once_more, self.free)
        return self.task, *hint

    def _after_plates(self, step: Step) -> tuple[Plate, ...]:
        found: list[Plate] = []
        run = self.run
        if self._next_slug and run is not None and self._next_slug != run.exercise.name:
            found.append(self.next)
        if "predict" in step.allowed and run is not None and run.mode != "example":
            found.append(self.another)
        if run is not None and not run.exam:
            found.append(self.once_more)
        return (*found, self.hand_in, self.free) if "hand-in" in step.allowed else (*found, self.free)

    def _lay_out_spots(self, run: LessonRun, step: Step) -> None:
        """Where one can point now: on the easel before a print, on the wall after it."""
        place, easel, wall = self.room.standing.place, self._easel(), self._wall()
        keys = [one.key for one in choices_of(self.room, run, self.again, "")]
        found: dict[str, Rect | Point] = {}
        if place == "enlarger" and easel is not None and (step.stage == "predict" or self.again) and not run.shown_next:
            found = dict(on_easel(self.room, easel, run, keys))
        elif place == "wall" and wall is not None and step.stage == "see":
            found = dict(on_wall(self.room, wall, run, step.sheet, keys))
        for key, at in found.items():
            spot = self.spots.setdefault(key, Spot(self.room, key, self.point))
            if spot.stand(at, self.area):
                self.there.append(spot)
        if place == "wall" and wall is not None and step.stage == "marks" and not run.exam:
            number = wall.chosen if wall.chosen in run.evening.state.nominated else run.evening.state.nominated[0]
            self.fade.want(run, int(number or 1))
            self.fade.lay_out(wall, int(number or 1))

    def draw(self, canvas: Canvas) -> None:
        """Readings and marks on the print, places to point at, the hands, and the note over all."""
        run, step, wall = self.run, self._step, self._wall()
        if run is None or step is None or self.hidden:
            return
        if self.room.standing.place == "wall" and wall is not None:
            before = canvas.surface.get_clip()
            canvas.surface.set_clip(wall.area)
            if self.fade.shown:
                self.fade.draw_over(canvas, wall)
            said = ("", None) if self._silent else (self._meant, self._told)
            draw_on_print(canvas, self.room, wall, run, step, *said)
            canvas.surface.set_clip(before)
        for spot in self.there:
            spot.draw(canvas)
        if self.fade.shown:
            self.fade.draw(canvas)
        self.hands.draw(canvas, run)
        if self._silent or self.is_folded:
            return
        if self.target.y >= self.area.y:
            draw_thread(canvas, self.note.rect, self.target, self.area, self._hidden_by)
        layer, canvas.layer = canvas.layer, "note"
        for thing in self._of_note():
            thing.draw(canvas)
        canvas.layer = layer

    def draw_above(self, canvas: Canvas) -> None:
        """The thread to what hangs in the row above lies over that row, or its ring would be cut."""
        quiet = self.run is None or self._step is None or self.hidden or self._silent
        if not quiet and self.is_folded:
            self.folded.draw(canvas)
        elif not quiet and self.target.y < self.area.y:
            draw_thread(canvas, self.note.rect, self.target, self.area, self._hidden_by)
