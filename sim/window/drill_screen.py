"""The drill place: short rounds on one decision, in white light; an item, its answer, its mark, the next."""

from __future__ import annotations

from typing import Any, ClassVar

from pygame import Rect

from sim.window.drill_answers import AnswerPart
from sim.window.drill_drawing import ItemPicture, draw_errors, draw_items
from sim.window.drill_words import HELP, about, skill_words, summary
from sim.window.keys_of_every_place import DRILL_KEYS
from sim.window.kit.boxes import columns, cut_bottom, cut_left, cut_top, inset
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import Row, ScrollList
from sim.window.kit.events import HANDLED, UNUSED, Event, Key, Outcome, said
from sim.window.kit.notes import LongNote
from sim.window.kit.picture import grey_surface
from sim.window.kit.screen import Screen

RECALL = "recall"


class DrillScreen(Screen):
    """A list of drills, a round under way, or its end; a round stays as it was left while the window is open."""

    NAME = "drills"
    LIGHT = "white-light"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS = DRILL_KEYS

    def build(self) -> None:
        """Make the controls of list, round and end."""
        t = self.room.words.text
        self.round: Any = None
        self.item: Any = None
        self.marked: Any = None
        self.name = ""
        self.picture: ItemPicture | None = None
        self.titles: dict[str, str] = {}
        self.area = self.left_plate = self.right_plate = self.items_row = self.shown = Rect(0, 0, 0, 0)
        self.drills = self.add(ScrollList("drills", t("Drills"), change=self._chosen, open=lambda _: self.begin()))
        self.about = self.add(LongNote("about-drill", t("What it asks")))
        self.start = self.add(PushButton("begin-round", t("Begin a round of ten"), self.begin, big=True))
        self.back = self.add(PushButton("drills-to-lessons", t("To the lessons"), lambda: Outcome(go_to="lessons")))
        self.question = self.add(LongNote("drill-question"))
        self.answers = AnswerPart(self)
        self.say = self.add(PushButton("say-answer", t("Say it"), self.go_on, big=True))
        self.leave = self.add(PushButton("leave-round", t("End the round"), self._leave))
        self.again = self.add(PushButton("once-more", t("Once more"), self._again, big=True))
        self.all = self.add(PushButton("all-drills", t("All drills"), self._leave))
        self._read()

    @property
    def state(self) -> str:
        """list, item, marked or end."""
        if self.round is None:
            return "list"
        if self.marked is not None:
            return "marked"
        return "end" if self.round.over else "item"

    def entered(self) -> None:
        """What is to be recalled today was asked for at the shelf, or the list is read anew."""
        wanted, self.room.wanted_drill = self.room.wanted_drill, ""
        if wanted == RECALL:
            self._begin(RECALL)
        elif self.round is None:
            self._read()
        self._arrange()

    def _read(self) -> None:
        """Read drills and progress. Raises OutsideError."""
        from sim.scoring.syllabus import read_syllabus
        from sim.teaching.progress import read_progress

        t = self.room.words.text
        self.progress = read_progress(self.room.folder, self.room.preferences.learner)
        entries = read_syllabus().drills
        self.titles = {one.slug: t(one.title) for one in entries}
        rows = []
        for one in entries:
            last = self.progress.drills.get(one.slug, [])
            note = t("{n} of {all}", n=last[-1].right, all=len(last[-1].errors)) if last else ""
            rows.append(Row(one.slug, self.titles[one.slug], note))
        self.drills.rows = rows
        if self.drills.index < 0 and rows:
            self.drills.value = rows[0].key
        self._chosen(self.drills.value)

    def _chosen(self, drill: str) -> None:
        self.about.show(about(drill, self.progress.drills.get(drill, []), self.room.words.text))

    # --- a round ---------------------------------------------------------------------------------------------------

    def begin(self) -> Outcome:
        """Begin a round of the drill that is chosen."""
        return self._begin(self.drills.value)

    def _begin(self, name: str) -> Outcome:
        from sim.teaching.drill_rounds import drill_round, recall_round

        folder, learner, day = self.room.folder, self.room.preferences.learner, self.room.today
        found = recall_round(folder, learner, day) if name == RECALL else drill_round(name, folder, learner, day)
        if found is None:
            return said(self.room.words.text("Nothing is due to be recalled today."))
        self.round, self.name = found, name
        return self._next()

    def _next(self) -> Outcome:
        """Have the next item made; the window goes on meanwhile."""
        self.item, self.marked, self.picture = None, None, None
        if not self.round.over:
            round_ = self.round
            self.room.later(
                lambda: _with_levels(round_.draw()), lambda found: self._came(round_, *found),
                self.room.words.text("The next item is laid out …"), bench=False,
            )  # fmt: skip
        return Outcome(layout=True)

    def _came(self, round_: Any, item: Any, levels: Any) -> Outcome | None:
        if round_ is not self.round:  # another round was begun meanwhile
            return None
        self.item = item
        self.picture = ItemPicture(grey_surface(levels)) if levels is not None else None
        self.question.show((item.question, *item.facts))
        self.answers.ask(item)
        self._arrange()
        self.set_focus(self.answers.first(), shown=True)
        return Outcome(layout=True)

    def go_on(self) -> Outcome:
        """Say the answer; once it is marked, on to the next item or to the end."""
        state, t = self.state, self.room.words.text
        if state == "marked":
            self.set_focus(None)
            return self._next()
        if state != "item":
            return HANDLED
        if self.item is None:
            return said(t("The next item is laid out …"))
        text = self.answers.text()
        if not text:
            return said(t("Choose an answer first."))
        self.marked = self.round.answer(self.item, text, self.room.folder)
        verdict = t("Near enough.") if self.marked.right else t("Not near enough.")
        self.question.show((f"{verdict} {self.marked.words}", self.item.question, *self.item.facts))
        self.set_focus(None)
        return Outcome(say=verdict, layout=True)

    def _leave(self) -> Outcome:
        """End the round where it is; a round with answers shows its end first."""
        if self.round is not None and self.round.answers and not self.round.over:
            self.round.stop()
            self.item, self.marked, self.picture = None, None, None
            return Outcome(layout=True)
        self.round = self.item = self.marked = self.picture = None
        self._read()
        return Outcome(layout=True)

    def _again(self) -> Outcome:
        return self._begin(self.name)

    def act(self, action: str) -> Outcome:
        """Keys do what the buttons do."""
        if action == "drill-on":
            button = {"list": self.start, "end": self.again}.get(self.state, self.say)
            if not button.visible:
                button = self.all
            return button.press() or HANDLED
        if action == "drill-leave":
            return Outcome(go_to="lessons") if self.state == "list" else self._leave()
        return UNUSED

    def handle(self, event: Event) -> Outcome:
        """Enter after a number hands it over and says it, in one."""
        typed = self.answers.typed(self.focus) if self.state == "item" else None
        entered = isinstance(event, Key) and event.down and event.name == "return"
        outcome = super().handle(event)
        if typed is not None:
            self.answers.took(typed, refused=outcome.warn)
        if typed is not None and entered and not outcome.warn and self.answers.text():
            outcome = self.room.guarded(self.go_on)
            self.refresh()
        return outcome

    # --- what is seen ----------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what belongs to the state."""
        state, t = self.state, self.room.words.text
        for control in (self.drills, self.about, self.start, self.back):
            control.visible = state == "list"
        for control in (self.question, self.say):
            control.visible = state in ("item", "marked") and self.item is not None
        self.leave.visible = state in ("item", "marked")
        self.answers.show(state in ("item", "marked") and self.item is not None, locked=state == "marked")
        self.again.visible = state == "end" and self.name != RECALL
        self.all.visible = state == "end"
        last = self.round is not None and self.round.over
        self.say.label = t("Say it") if state == "item" else (t("The score") if last else t("The next"))

    def _arrange(self) -> None:
        self.refresh()
        self.layout(self.area)

    def layout(self, area: Rect) -> None:
        """Two plates: list and words, or picture and question."""
        self.area, look = area, self.room.look
        px, state = look.px, self.state
        seen = state in ("item", "marked") and self.picture is not None
        shares = [10, 11] if state == "list" or seen else [4, 11]
        self.left_plate, self.right_plate = columns(area, shares, px(16))
        self.drills.rect = self.left_plate
        inner = inset(self.right_plate, px(16), px(14))
        head, inner = cut_top(inner, px(52), px(6))
        self.head, self.items_row = cut_top(head, px(26))
        keys, inner = cut_bottom(inner, px(46), px(12))
        for control in (self.start, self.say, self.again):
            control.rect, rest = cut_left(keys, px(210), px(12))
        for control in (self.back, self.leave, self.all):
            control.rect = Rect(rest.x, rest.y + px(6), min(rest.w, px(160)), px(34))
        if state == "end" and not self.again.visible:
            self.all.rect = self.again.rect
        self.about.rect = inner
        answers, above = cut_bottom(inner, self.answers.height(), px(12))
        self.answers.layout(answers)
        self.question.rect = self.shown = above

    def draw(self, canvas: Canvas) -> None:
        """Plates, picture, items and controls."""
        t, state = self.room.words.text, self.state
        canvas.panel(self.right_plate)
        if state == "list":
            canvas.text(t("Short drills, one decision each"), self.head.topleft, "title", "ink", room=self.head.w, shorten=True)
        else:
            self._draw_round(canvas, state)
        super().draw(canvas)

    def _draw_round(self, canvas: Canvas, state: str) -> None:
        t, look = self.room.words.text, canvas.look
        canvas.text(self._title(), self.head.topleft, "title", "ink", room=self.head.w, shorten=True)
        draw_items(canvas, self.items_row, self.round.answers, len(self.round.asked))
        if self.picture is not None:
            self.picture.draw(canvas, self.left_plate)
        else:
            self._draw_aside(canvas)
        if state == "end":
            words, picture = cut_top(self.shown, self.shown.h // 2, look.px(10))
            y = words.y
            for paragraph in summary(self.round, t):
                drawn = canvas.lines(paragraph, Rect(words.x, y, words.w, words.bottom - y), "body", "ink", shorten=True)
                y = drawn.bottom + look.px(8)
                if y + look.line_height("body") > words.bottom:
                    break
            draw_errors(canvas, picture, self.round.answers, t)

    def _title(self) -> str:
        t, asked = self.room.words.text, self.round.now
        if self.name == RECALL and self.state != "end":
            return t("Recall: {skill}", skill=skill_words(asked.skill))
        return t("Recall") if self.name == RECALL else self.titles.get(asked.drill, asked.drill)

    def _draw_aside(self, canvas: Canvas) -> None:
        """Where there is no picture: which item this is, large."""
        t, look, inner = self.room.words.text, canvas.look, canvas.panel(self.left_plate)
        done, count = len(self.round.answers), len(self.round.asked)
        number = done if self.state != "item" else done + 1
        big = canvas.text(f"{number} / {count}", inner.topleft, "figure", "ink", room=inner.w, shorten=True)
        right = t("{n} right so far", n=self.round.right)
        below = Rect(inner.x, big.bottom + look.px(10), inner.w, inner.bottom - big.bottom - look.px(10))
        canvas.lines(right, below, "body", "soft", shorten=True)


def _with_levels(item: Any) -> tuple[Any, Any]:
    """Return an item and its picture as grey levels in white light."""
    return item, item.board
