"""The viewing wall: prints side by side in neutral light, the densitometer, and four ways to understand what it reads."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from pygame import Rect

from sim.viewing.lightness import CRITICAL_LUX, PRACTICAL_LUX
from sim.viewing.plain_names import plain_name
from sim.window.keys_of_every_place import WALL_KEYS
from sim.window.kit.boxes import columns, cut_bottom, cut_right, cut_top, inset
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, said, warned, went
from sim.window.kit.notes import TextNote
from sim.window.kit.screen import Screen
from sim.window.wall.diagrams import Diagrams
from sim.window.wall.hanging import MOST_PINNED
from sim.window.wall.naming import Naming
from sim.window.wall.prints_on_wall import ZOOMS, PrintsOnWall
from sim.window.wall.step_scale import draw_reading, draw_scale
from sim.window.wall.wall_words import HELP, VIEWS

LEVELS = {"practical": PRACTICAL_LUX, "critical": CRITICAL_LUX}


class WallScreen(Screen):
    """The wall. What hangs there is remembered while the window is open; what counts stands in the evening's log."""

    NAME = "wall"
    LIGHT = "white-light"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS = WALL_KEYS

    def build(self) -> None:
        """Make the controls."""
        t = self.room.words.text
        self.view = self.add(ChoiceRow("look-at", "", [(k, t(w)) for k, w in VIEWS], "prints", change=self._looked))
        self.prints = self.add(PrintsOnWall("prints", t("The wall"), self._choose))
        self.sheets = self.add(ScrollList("sheets", t("Sheets"), change=self._chose))
        self.pin = self.add(PushButton("pin", t("Pin up"), press=self._pin))
        self.nominate = self.add(PushButton("nominate", t("It counts"), press=self._nominate, lamp=False))
        self.steps = self.add(ScrollList("steps", t("Steps"), change=self._stepped))
        self.places = self.add(ScrollList("places", t("Places"), change=lambda _: HANDLED))
        self.soft = self.add(ChoiceRow("soft-step", t("Soft strip, step"), change=lambda _: HANDLED, options=[]))
        self.hard = self.add(ChoiceRow("hard-step", t("Hard strip, step"), change=lambda _: HANDLED, options=[]))
        self.use_plan = self.add(PushButton("use-plan", t("Plan the next sheet from these"), press=self._use_plan, big=True))
        levels = [("practical", t("practical")), ("critical", t("critical"))]
        self.light = self.add(ChoiceRow("light", t("Viewing light"), levels, "practical", change=lambda _: HANDLED))
        zooms = [(str(z), f"{z}×") for z in ZOOMS]
        self.zoom = self.add(ChoiceRow("zoom", "", zooms, "1", change=self._zoomed))
        self.wet = self.add(Toggle("wet", t("As they look wet"), change=lambda _: HANDLED))
        self.words = self.add(TextNote("words", "", shorten=True))
        self.pinned: list[int] = []
        self.known = 0
        self.naming = Naming(self.room)
        self.diagrams = Diagrams()
        self.column = self.body = self.scale = self.meter = Rect(0, 0, 0, 0)  # until the first layout
        self.by_number: dict[int, Any] = {}
        self._asked: tuple[Any, ...] = ()
        self._hanging: list[Any] = []

    # --- where things are ------------------------------------------------------------------------------------------

    def layout(self, area: Rect) -> None:
        """The wall takes what the column at the right leaves over."""
        look = self.room.look
        area = inset(area, look.px(12), look.px(8))
        self.column, rest = cut_right(area, look.px(300), look.px(16))
        top, self.body = cut_top(rest, look.px(32), look.px(8))
        self.zoom.rect, self.view.rect = cut_right(top, min(self.zoom.wanted(look)[0], top.w // 4), look.px(12))
        self.scale, self.prints.rect = cut_bottom(self.body, look.px(62), look.px(6))
        self._lay_column()
        self.refresh()

    def _lay_column(self) -> None:
        """From below: what belongs to the view; the list of sheets takes the rest."""
        look, column = self.room.look, self.column
        view = self.view.value
        gap = look.px(10)
        if view == "prints":
            self.meter, column = cut_bottom(column, look.px(104), gap)
        if view in ("prints", "split"):
            self.wet.rect, column = cut_bottom(column, self.wet.wanted(look)[1], gap)
            self.light.rect, column = cut_bottom(column, self.light.wanted(look)[1], gap)
        if view == "split":
            for control in (self.use_plan, self.hard, self.soft):
                control.rect, column = cut_bottom(column, control.wanted(look)[1], gap)
        if view in ("difference", "curve", "chain", "split"):
            share = {"difference": 0.62, "split": 0.42}.get(view, 0.58)
            below, column = cut_bottom(column, int(column.h * share), gap)
            if view in ("curve", "chain"):
                self.words.rect, below = cut_bottom(below, 6 * look.line_height("body"), gap)
                self.places.rect = below
            else:
                self.words.rect = below
        buttons, column = cut_bottom(column, self.pin.wanted(look)[1], gap)
        self.pin.rect, self.nominate.rect = columns(buttons, [1, 1], gap)
        if self.steps.visible:
            self.steps.rect, column = cut_bottom(column, column.h // 2, gap)
        self.sheets.rect = column

    # --- the darkroom's state --------------------------------------------------------------------------------------

    @property
    def chosen(self) -> int | None:
        """The sheet that is chosen in the list."""
        return int(self.sheets.value) if self.sheets.value else None

    @property
    def lux(self) -> float:
        """The level of the viewing light."""
        return LEVELS[self.light.value]

    def refresh(self) -> None:
        """Ask the wall what hangs there."""
        dark = self.room.darkroom
        if dark is None:
            return
        t, state = self.room.words.text, dark.evening.state
        asked = (dark.folder, len(state.sheets), state.nominated)
        if self._asked != asked:
            if self._asked[:1] != asked[:1]:  # another evening
                self.pinned, self.known, self.naming, self.sheets.value = [], 0, Naming(self.room), ""
            self._asked = asked
            self._hanging = [p for p in dark.wall.prints() if p.developed]
        prints = self._hanging
        self._new(prints)
        self.by_number = {p.number: p for p in prints}
        self.sheets.rows = [self._row(p) for p in prints]
        picked = self.by_number.get(self.chosen) if self.chosen else None
        self.pin.label = t("Take down") if self.chosen in self.pinned else t("Pin up")
        self.pin.enabled = picked is not None
        self.nominate.lamp = bool(picked and self.naming.counts(picked.number))
        self.nominate.enabled = picked is not None
        self.nominate.why_not = self._why_not(picked)
        self._show(picked)
        self._lay_column()
        self.prints.lux, self.prints.wet = self.lux, self.wet.value
        self.prints.marked = self.chosen or -1
        self.prints.captions = {p.number: self._caption(p) for p in prints}
        self.zoom.value = str(self.prints.zoom)
        hanging = [self.by_number[n] for n in self.pinned if n in self.by_number]
        if self.view.value == "prints":
            self.prints.hang_up(dark.wall, self.room.look, hanging)
        self.diagrams.make(self)

    def _new(self, prints: list[Any]) -> None:
        """What was developed since hangs on the wall; when it is full the oldest comes down."""
        for p in prints[self.known :]:
            self.pinned = [*self.pinned, p.number][-MOST_PINNED:]
            self.sheets.value = str(p.number)
        self.known = len(prints)

    def _row(self, p: Any) -> Row:
        t = self.room.words.text
        what = t("strip") if p.kind == "strip" else plain_name(p.negative)
        note = t("counts") if p.nominated else t("{n} min", n=f"{p.minute:.0f}")
        return Row(str(p.number), f"{p.number}  {what}", note, "pin" if p.number in self.pinned else "")

    def _caption(self, p: Any) -> str:
        t = self.room.words.text
        words = t("strip {n}", n=p.number) if p.kind == "strip" else t("sheet {n}", n=p.number)
        return words + (t(", counts") if p.nominated else "") + (t(", wet") if self.wet.value else "")

    def _why_not(self, picked: Any) -> str:
        t = self.room.words.text
        if self.room.darkroom.evening.state.handed_in:
            return t("the evening is handed in")
        return t("a strip is no print") if picked is not None and picked.kind == "strip" else ""

    def _show(self, picked: Any) -> None:
        """Show the controls that belong to what is looked at."""
        t, view = self.room.words.text, self.view.value
        self.prints.visible = view == "prints"
        self.zoom.why_not = "" if self.prints.visible else t("only the prints can be looked at from near")
        self.light.visible = self.wet.visible = view in ("prints", "split")
        self.light.label = t("Viewing light, {lux} lux", lux=f"{self.lux:.0f}")
        self.places.visible = view in ("curve", "chain")
        self.soft.visible = self.hard.visible = self.use_plan.visible = view == "split"
        self.words.visible = view != "prints"
        self.steps.visible = view == "prints" and picked is not None and len(picked.strip_steps) >= 2
        if self.steps.visible:
            self.steps.rows = self._step_rows(picked)

    def _step_rows(self, strip: Any) -> list[Row]:
        import math

        first, rows = strip.strip_steps[0].time_s, []
        for n, step in enumerate(strip.strip_steps):
            read = self.room.darkroom.wall.read(strip.number, step.x_mm, step.y_mm)
            stops = math.log2(step.time_s / first)
            rows.append(Row(str(n), f"{n + 1}   {step.time_s:.1f} s", f"+{stops:.2f}   D {read.density:.2f}"))
        return rows

    # --- what one does ---------------------------------------------------------------------------------------------

    def _looked(self, _view: str) -> Outcome:
        return Outcome(layout=True)

    def _choose(self, number: int) -> Outcome:
        self.sheets.value = str(number)
        return HANDLED

    def _chose(self, _key: str) -> Outcome:
        self.steps.value = ""
        return HANDLED

    def _pin(self) -> Outcome:
        number = self.chosen
        if number is None:
            return UNUSED
        if number in self.pinned:
            self.pinned.remove(number)
        elif len(self.pinned) >= MOST_PINNED:
            return warned(self.room.words.text("Four hang already: take one down first."))
        else:
            self.pinned.append(number)
        return HANDLED

    def _nominate(self) -> Outcome:
        number = self.chosen
        if number is None or self.nominate.locked:
            return self.nominate.refused()
        return self.naming.name(number)

    def _undo(self) -> Outcome:
        if self._why_not(None):
            return said(self.room.words.text("There is no earlier naming to go back to."))
        return self.naming.undo()

    def _stepped(self, key: str) -> Outcome:
        number = self.chosen
        if number in self.prints.pictures:
            step = self.by_number[number].strip_steps[int(key)]
            self.prints.put_head(number, step.x_mm, step.y_mm)
        return HANDLED

    def _zoomed(self, value: str) -> Outcome:
        self.prints.zoom = int(value)
        self.prints.centre_on_head()
        return HANDLED

    def _use_plan(self) -> Outcome:
        plan = self.diagrams.plan
        if plan is None:
            return warned(self.room.words.text("It takes two strips through different filters."))
        self.room.darkroom.paper.set_plan(plan)
        return went("enlarger")

    def act(self, action: str) -> Outcome:
        """Keys do what the controls do."""
        if action.startswith("wall-view-"):
            return self.view.choose(action.removeprefix("wall-view-"))
        doing: dict[str, Callable[[], Outcome]] = {
            "wall-pin": self._pin, "wall-nominate": self._nominate, "wall-undo": self._undo,
            "wall-nearer": lambda: self.prints.zoom_by(1), "wall-back": lambda: self.prints.zoom_by(-1),
            "wall-wet": lambda: self.wet.key(Key("return")),
            "wall-light": lambda: self.light.choose("critical" if self.light.value == "practical" else "practical"),
        }  # fmt: skip
        return doing[action]()

    # --- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas) -> None:
        """The view, the scale and the densitometer; then the controls."""
        dark, t = self.room.darkroom, self.room.words.text
        if dark is not None and self.view.value == "prints":
            super().draw(canvas)
            if not self.prints.hung:
                at = self.prints.rect.inflate(-canvas.look.px(80), -canvas.look.px(80))
                canvas.lines(t("Nothing hangs here yet. Every developed sheet and strip comes to this wall."), at)
            draw_scale(canvas, self.scale, dark.wall.reference_scale(), self.prints.reading, self.lux)
            number = self.prints.probe[0] if self.prints.probe else 0
            draw_reading(canvas, self.meter, self.prints.reading, number, t, self.wet.value)
            return
        if dark is not None:
            self.diagrams.draw(canvas, self)
        super().draw(canvas)
