"""The notebook: pages of this evening and earlier ones; maps, export, and printing a sheet again."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

import pygame
from pygame import Rect

from sim.refusals import Refusal
from sim.viewing.plain_names import plain_name
from sim.window.evenings import kept_evenings
from sim.window.keys_of_every_place import NOTEBOOK_KEYS
from sim.window.kit.boxes import columns, cut_bottom, cut_left, cut_top, inset
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, UNUSED, Outcome, said, warned, went
from sim.window.kit.notes import NoteField
from sim.window.kit.picture import grey_surface
from sim.window.kit.screen import Screen
from sim.window.notebook.again import Again, sizes_for
from sim.window.notebook.notebook_words import HELP
from sim.window.notebook.page_drawing import draw_entries, draw_mounted, page_frame, picture_room
from sim.window.notebook.page_texts import entries_of, notes_of, readings_of


class NotebookScreen(Screen):
    """Pages to turn; the picture, record and readings come from the evening they belong to."""

    NAME = "notebook"
    LIGHT = "white-light"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS = NOTEBOOK_KEYS

    def build(self) -> None:
        """Make the controls."""
        t = self.room.words.text
        self.evenings = self.add(ScrollList("evenings", t("Evenings"), change=self._opened))
        self.pages = self.add(ScrollList("pages", t("Pages"), change=lambda _: HANDLED))
        self.note = self.add(NoteField("note", t("Note on this sheet"), change=self._noted))
        self.again = self.add(PushButton("again", t("Print it again"), press=self._again))
        self.other = self.add(PushButton("other", t("On another negative or size"), press=self._other, lamp=False))
        self.map_png = self.add(PushButton("map-png", t("Map as a picture"), press=lambda: self._map("png")))
        self.map_pdf = self.add(PushButton("map-pdf", t("Map as a page"), press=lambda: self._map("pdf")))
        self.export = self.add(PushButton("export", t("Export the evening"), press=self._export))
        self.negatives = self.add(ScrollList("other-negative", t("Negative"), change=lambda _: HANDLED))
        self.sizes = self.add(ChoiceRow("other-size", t("Sheet, cm"), [], change=lambda _: HANDLED))
        self.take = self.add(PushButton("take-other", t("Set the enlarger for it"), press=self._take_other, big=True))
        self.opened: dict[str, Any] = {}
        self.picture: pygame.Surface | None = None
        self.mount = self.text = self.page = self.column = Rect(0, 0, 0, 0)
        self._made: object = None
        self._asked: object = None
        self._written: tuple[Any, ...] = ()
        self.read: list[tuple[str, str]] = []
        self.lines: tuple[str, ...] = ()
        self.title = ""
        self.notes: list[str] = []
        self.repeating = Again()

    # --- where things are ------------------------------------------------------------------------------------------

    def layout(self, area: Rect) -> None:
        """Lists at the left, the page in the middle, what can be done with it below."""
        look = self.room.look
        area = inset(area, look.px(12), look.px(8))
        gap = look.px(10)
        lists, rest = cut_left(area, look.px(236), look.px(16))
        self.evenings.rect, self.pages.rect = cut_top(lists, int(lists.h * 0.32), gap)
        buttons, self.page = cut_bottom(rest, 2 * look.px(34) + gap, gap)
        upper, lower = cut_top(buttons, look.px(34), gap)
        self.again.rect, self.other.rect = columns(upper, [2, 3], gap)
        self.map_png.rect, self.map_pdf.rect, self.export.rect = columns(lower, [1, 1, 1], gap)
        self._made = None
        self.refresh()

    def _lay_page(self, shape_mm: tuple[float, float]) -> None:
        look = self.room.look
        inner = inset(self.page, look.px(16), look.px(14))
        inner = Rect(inner.x + look.px(20), inner.y, inner.w - look.px(20), inner.h)
        note, inner = cut_bottom(inner, self.note.wanted(look)[1], look.px(10))
        self.note.rect = note
        self.mount, self.text = picture_room(inner, shape_mm, look.px(16))
        if self.repeating.on:
            side, self.text = cut_left(self.text, self.text.w, 0)
            self.text = side
            self.take.rect, side = cut_bottom(side, self.take.wanted(look)[1], look.px(8))
            self.sizes.rect, side = cut_bottom(side, self.sizes.wanted(look)[1], look.px(8))
            self.negatives.rect, self.text = cut_top(side, int(side.h * 0.4), look.px(8))

    # --- the evening that is open ----------------------------------------------------------------------------------

    @property
    def dark(self) -> Any:
        """The darkroom of the evening whose pages are open."""
        return self.opened.get(self.evenings.value) or self.room.darkroom

    @property
    def number(self) -> int | None:
        """The sheet whose page is open."""
        return int(self.pages.value) if self.pages.value else None

    def _folders(self) -> dict[str, Path]:
        here = self.room.darkroom.folder
        found = {str(p): p for p in reversed(kept_evenings(self.room.folder)) if p.resolve() != here.resolve()}
        return {str(here): here, **found}

    def _opened(self, key: str) -> Outcome:
        from sim.bench.darkroom import Darkroom

        self.pages.value, self.repeating.on = "", False
        if key == str(self.room.darkroom.folder) or key in self.opened:
            return HANDLED
        try:
            self.opened[key] = Darkroom.look(Path(key))
        except (Refusal, OSError):
            self.evenings.value = str(self.room.darkroom.folder)
            raise
        return HANDLED

    def refresh(self) -> None:
        """Bring lists, page and buttons to what the evening says."""
        if self.room.darkroom is None:
            return
        t = self.room.words.text
        folders = self._folders()
        if self.evenings.value not in folders:
            self.evenings.value = next(iter(folders))
        first = next(iter(folders))
        self.evenings.rows = [
            Row(k, t("This evening") if k == first else t("Evening {name}", name=p.name.lstrip("0") or p.name))
            for k, p in folders.items()
        ]
        state = self.dark.evening.state
        if self._asked != (self.dark.folder, len(state.sheets), state.nominated):
            self._asked = (self.dark.folder, len(state.sheets), state.nominated)
            self._written = self.dark.wall.prints()
        prints = self._written
        self.pages.rows = [self._row(p) for p in prints]
        if self.number not in {p.number for p in prints}:
            self.pages.value = str(prints[-1].number) if prints else ""
        self._buttons(next((p for p in prints if p.number == self.number), None))
        self._turn_to()

    def _row(self, p: Any) -> Row:
        t = self.room.words.text
        what = t("strip") if p.kind == "strip" else plain_name(p.negative)
        note = t("counts") if p.nominated else ("" if p.developed else t("thrown away"))
        return Row(str(p.number), f"{p.number}  {what}", note)

    def _buttons(self, p: Any) -> None:
        t = self.room.words.text
        there, idle = p is not None, not self.room.bench_asked
        whole = there and p.kind == "sheet" and p.developed
        self.again.enabled = whole
        self.again.why_not = "" if whole or not there else t("only a whole, developed sheet")
        self.other.enabled, self.other.why_not = self.again.enabled, self.again.why_not
        if not whole:
            self.repeating.on = False
        self.other.lamp = self.repeating.on
        self.map_png.enabled = self.map_pdf.enabled = there and p.developed and idle
        self.export.enabled = there and idle
        self.note.visible = there
        self.note.why_not = t("the evening is handed in") if self.dark.evening.state.handed_in else ""
        for control in (self.negatives, self.sizes, self.take):
            control.visible = self.repeating.on

    def _turn_to(self) -> None:
        """Make the page's picture and figures anew where something changed."""
        wall, number, state = self.dark.wall, self.number, self.dark.evening.state
        key = (
            self.evenings.value, number, tuple(self.page), self.repeating.key, len(state.notes), state.nominated,
            self.negatives.value, self.sizes.value, self.room.look.scale,
        )  # fmt: skip
        if key == self._made or not self.page.w:
            return
        self._made = key
        if number is None:
            self.picture, self.lines, self.title, self.read, self.notes = None, (), "", [], []
            return
        p = next(p for p in self._written if p.number == number)
        self._lay_page((p.width_mm, p.height_mm))
        size = tuple(max(8, side - 2 * self.room.px(14)) for side in self.mount.size)
        self.picture = grey_surface(wall.picture(number, size)) if p.developed else None
        self.lines, self.title = entries_of(self.dark, number, self.room.words.text)
        self.read = readings_of(wall, number) if p.developed else []
        self.notes = notes_of(self.dark, number)
        if self.repeating.on:
            self.repeating.work_out(wall.record(number), self.sizes.value, self.negatives.value)
            self.take.enabled = self.repeating.record is not None

    # --- what one does ---------------------------------------------------------------------------------------------

    def _noted(self, words: str) -> Outcome:
        if not words.strip() or self.number is None:
            return HANDLED
        note = f"sheet {self.number}: {words.strip()}"
        if self.dark is self.room.darkroom:
            self.dark.note(note)
        else:
            self._noted_elsewhere(note)
        self.note.value = self.note._given = ""
        return said(self.room.words.text("Kept with sheet {number}.", number=self.number))

    def _noted_elsewhere(self, note: str) -> None:
        """Take another evening up for as long as it takes to write one note into it. Raises OpenElsewhere."""
        from sim.bench.darkroom import Darkroom
        from sim.evening.evening import Evening

        with Evening.open(self.dark.evening.file) as evening:
            evening.note(note)
        self.opened[self.evenings.value] = Darkroom.look(self.dark.folder)

    def _again(self) -> Outcome:
        from sim.notebook.exposure_plan import planned

        if self.number is None or self.again.locked:
            return self.again.refused()
        record, here = self.dark.wall.record(self.number), self.room.darkroom
        here.desk.like(record)
        here.paper.set_plan([planned(e) for e in record.exposures])
        return went("enlarger")

    def _other(self) -> Outcome:
        if self.other.locked or self.number is None:
            return self.other.refused()
        self.repeating.on = not self.repeating.on
        if self.repeating.on:
            record, cards = self.dark.wall.record(self.number), self.room.darkroom.desk.negatives()
            self.negatives.rows = [Row(card.name, card.title) for card in cards]
            self.negatives.value = record.negative
            self.negatives.first = max(0, self.negatives.index - 1)
            self.sizes.options = sizes_for(record.sheet)
            self.sizes.value = self.sizes.options[0][0]
        self._made = None
        return HANDLED

    def _take_other(self) -> Outcome:
        if self.repeating.record is None:
            return warned(self.repeating.words)
        self.repeating.take(self.room.darkroom)
        self.repeating.on = False
        return went("enlarger")

    def _map(self, kind: str) -> Outcome:
        from sim.notebook.printing_map import write_map

        if self.number is None or not self.map_pdf.enabled:
            return UNUSED
        out = self.dark.folder / "maps" / f"sheet-{self.number:02d}.{kind}"
        record, t = self.dark.wall.record(self.number), self.room.words.text
        self.room.later(
            lambda: write_map(record, out), lambda _: said(t("Written: {file}", file=out)), t("drawing the printing map")
        )
        return HANDLED

    def _export(self) -> Outcome:
        from sim.notebook.notebook import export

        if not self.export.enabled:
            return UNUSED
        t, dark = self.room.words.text, self.dark
        folder = dark.folder / "notebook"
        self.room.later(
            lambda: export(dark.evening.state, dark.wall.picture, folder),
            lambda file: said(t("Written: {file}", file=file)), t("writing the notebook")
        )
        return HANDLED

    def act(self, action: str) -> Outcome:
        """Keys turn pages and do what the buttons do."""
        if action in ("page-back", "page-on"):
            keys = [row.key for row in self.pages.rows]
            if not keys:
                return UNUSED
            here = keys.index(self.pages.value) + (1 if action == "page-on" else -1)
            self.pages.value = keys[max(0, min(len(keys) - 1, here))]
            return HANDLED
        doing = {
            "page-again": self._again, "page-other": self._other, "page-map": lambda: self._map("pdf"),
            "page-export": self._export,
        }  # fmt: skip
        return doing[action]()

    # --- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas) -> None:
        """The page, then the controls."""
        t = self.room.words.text
        if self.room.darkroom is not None:
            inner = page_frame(canvas, self.page)
            if self.number is None:
                canvas.lines(t("Nothing written yet. Every sheet and strip of the evening gets a page here."), inner)
            else:
                draw_mounted(canvas, self.mount, self.picture)
                if self.repeating.on:
                    self.repeating.draw(canvas, self.text, t)
                else:
                    notes = [t("Note: {words}", words=n) for n in self.notes]
                    draw_entries(canvas, self.text, self.title, self.lines, self.read, t, notes)
        super().draw(canvas)
