"""The notebook: a leaf for every piece of paper, of this evening and of all others; what is on it can be printed again.

Pages to take along (map, the whole evening, proof of a roll, seconds by stops) go where the learner says, and are shown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pygame
from pygame import Rect, Surface

from sim.bench.darkroom import Darkroom
from sim.bench.light_of_print import light_of
from sim.notebook.exposure_plan import planned
from sim.refusals import Refusal
from sim.window.evenings import kept_evenings
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, cut_left, cut_top, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.kit.picture import grey_surface
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things import pages_out
from sim.window.things.in_room import InRoom, Plate, flowed
from sim.window.things.leaves import Leaf, found, keep_note, leaves_of, note_of, readings_on, written_on
from sim.window.things.light_words import light_words
from sim.window.things.scrolled import Paragraph, ScrolledWords
from sim.window.things.tray_drawing import seen_white
from sim.window.things.trays import sheet_tint
from sim.window.things.written import Written

WHOSE = ("this evening", "every evening", "this negative")


class LeafMark(InRoom):
    """A leaf in the list: touched, the notebook opens there."""

    def __init__(self, room: OneRoom, book: Notebook, row: int):
        super().__init__(room, f"leaf {row}")
        self._book, self._row = book, row

    def leaf(self) -> Leaf | None:
        """Which leaf stands in this row of the list."""
        found_, at = self._book.found, self._book.first + self._row
        return found_[at] if at < len(found_) else None

    def name(self) -> str:
        """Number, light and filter."""
        leaf = self.leaf()
        return self._book.said(leaf) if leaf is not None else ""

    def about(self) -> str:
        """Leaves are opened."""
        return self.room.about("leaf")

    def pressed(self) -> None:
        """Open it."""
        leaf = self.leaf()
        if leaf is not None:
            self._book.open_at(leaf)

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel goes on in the list."""
        self._book.scroll(-steps)
        return True

    def high(self, wide: int) -> int:
        """Return the height its words ask for at a width: they are never cut."""
        look = self.room.look
        return len(look.wrapped(self.name(), wide - look.px(28), "small")) * look.line_height("small") + look.px(7)

    def draw(self, canvas: Canvas) -> None:
        """Its words; the open leaf is raised and marked."""
        leaf, look = self.leaf(), canvas.look
        if leaf is None:
            return
        open_ = leaf == self._book.leaf
        if open_ or self.hot:
            canvas.plate(self.rect, "", "raised", 4)
        x = self.rect.x + look.px(8)
        if open_:
            bar = Rect(self.rect.x, self.rect.y + look.px(3), look.px(3), self.rect.h - look.px(6))
            pygame.draw.rect(canvas.surface, look.colour("lamp"), bar)
        if leaf.counts:
            canvas.mark("tick", (self.rect.right - look.px(10), self.rect.centery), look.px(12), "ink")
        words = Rect(x, self.rect.y, self.rect.right - x - look.px(20), self.rect.h)
        canvas.block(self.name(), words, "small", "ink" if open_ else "soft", left=True)


class Notebook(Overlay):
    """The list at the left, the open leaf at the right."""

    share = (0.97, 0.97)

    def __init__(self, room: OneRoom, at: Leaf | None = None, whose: int = 0, wanted: str = ""):
        super().__init__(room, room.name("notebook"))
        self._dark: dict[Path, Darkroom] = {room.darkroom.folder: room.darkroom}
        self._waiting = [p for p in kept_evenings(room.folder) if p.resolve() != room.darkroom.folder.resolve()]
        self._kept: dict[Path, list[Leaf]] = {}
        self._whose, self.first, self._rows = whose, 0, 1
        self._lights: dict[tuple[Path, int, bool], str] = {}  # asked for in every frame, so made once
        self.found: list[Leaf] = []
        self.leaf = at
        self._map_asked: Leaf | None = None  # the leaf whose map was asked for once
        self.note = Written(room, "note", "", self._noted, 400)
        self.find = Written(room, "find", wanted, lambda words: self._look_up(), 80)
        self.into = Written(room, "into", str(pages_out.folder_for(room)), self._wrote_where, 400)
        self.whose = Plate(room, "whose", self._turn_whose)
        self.whose.words = lambda: room.line(WHOSE[self._whose])
        self.marks = [LeafMark(room, self, n) for n in range(60)]
        self.text = ScrolledWords(room, "leaf words")
        self.out = self._out()
        self.open_at(at)
        self._picture: Surface | None = None
        self._made: object = None
        self._worth: tuple[str, ...] | None = None
        self._page = self._mount = self._list = Rect(0, 0, 1, 1)
        self._look_up()

    def _out(self) -> list[Plate]:
        room = self.room
        plates = [
            Plate(room, "print again", self._again), Plate(room, "other size", self._other),
            Plate(room, "map", self._map), Plate(room, "was right", self._was_right),
            Plate(room, "export", lambda: pages_out.evening(room, self.dark, self.back)),
            Plate(room, "proof", self._proof), Plate(room, "times", lambda: pages_out.times(room, self.back)),
        ]  # fmt: skip
        for plate in (*plates[:2], plates[3]):
            plate.why = lambda: "" if self._whole() else room.line("only whole sheets")
        plates[2].why = lambda: "" if self.leaf is not None and self.leaf.developed else room.line("only developed")
        return plates

    # --- what is found ------------------------------------------------------------------------------------------------

    @property
    def dark(self) -> Darkroom:
        """The darkroom of the evening whose leaf is open."""
        return self._dark[self.leaf.folder] if self.leaf is not None else self.room.darkroom

    def back(self) -> Notebook:
        """Return the notebook open where it is."""
        return Notebook(self.room, self.leaf, self._whose, self.find.words)

    def _whole(self) -> bool:
        return self.leaf is not None and self.leaf.kind == "sheet" and self.leaf.developed

    def _turn_whose(self) -> None:
        self._whose = (self._whose + 1) % len(WHOSE)
        self._look_up()

    def _look_up(self) -> None:
        """Find the leaves that are asked for; of other evenings those that were read so far."""
        here = self.room.darkroom
        self._kept[here.folder] = leaves_of(here.folder, here.evening.state, self.room.said)
        folders = [here.folder] if self._whose == 0 else sorted(self._kept, key=lambda p: p.name)
        every = [leaf for folder in folders for leaf in self._kept[folder]]
        negative = self.leaf.negative if self._whose == 2 and self.leaf is not None else ""
        self.found = found(every, negative, self.find.words)
        self.first = max(0, min(self.first, len(self.found) - 1))
        if self.leaf not in self.found and not (self._whose and self._waiting):
            self.open_at(self.found[0] if self.found else None)

    def open_at(self, leaf: Leaf | None) -> None:
        """Open the notebook at a leaf."""
        if leaf is not None and leaf.folder not in self._dark:
            self._dark[leaf.folder] = Darkroom.look(leaf.folder)
        self.leaf, self._made = leaf, None
        self.note.words = note_of(self.dark.evening.state, leaf.number) if leaf is not None else ""

    def said(self, leaf: Leaf) -> str:
        """Return what stands in the list."""
        kind = self.room.line("strip no" if leaf.kind == "strip" else "sheet no", n=leaf.number)
        key = (leaf.folder, leaf.number, leaf.developed)
        if key not in self._lights:
            self._lights[key] = light_words(self.room, light_of(self._dark[leaf.folder].wall.record(leaf.number)))
        words = f"{kind} · {self._lights[key]}"
        return words if self._whose == 0 else f"{int(leaf.folder.name)}: {words}"

    def scroll(self, rows: int) -> None:
        """Go on in the list."""
        self.first = max(0, min(max(0, len(self.found) - self._rows), self.first + rows))

    def update(self, dt_s: float) -> bool:
        """Read one evening more in every frame; make the open leaf's picture."""
        read = bool(self._waiting) and self._whose != 0
        if read:
            folder = self._waiting.pop()
            try:
                self._dark[folder] = Darkroom.look(folder)
                self._kept[folder] = leaves_of(folder, self._dark[folder].evening.state, self.room.said)
            except (Refusal, OSError) as error:
                self.room.say_words(str(error), warn=True)
            self._look_up()
        return self._open_leaf() or read

    def _open_leaf(self) -> bool:
        """Make what stands on the leaf where it changed: the words at once, readings with the picture."""
        leaf, notes = self.leaf, len(self.dark.evening.state.notes)
        marked = self._marked()
        key = (leaf, notes, self._mount.size, self.room.look, marked)
        if key == self._made:
            return False
        self._made, self._picture = key, None
        if leaf is None:
            empty = "nothing found" if self.find.words else "notebook empty"
            self.text.say([(self.room.line(empty), "body", "soft")])
            return True
        words: list[Paragraph] = written_on(self.dark, leaf.number, self.room.line, self.room.said)
        if leaf.negative in marked:
            words.insert(1, (self.room.line("worth printing").capitalize(), "small", "lamp"))
        if leaf.developed:
            size = (max(8, self._mount.w), max(8, self._mount.h))
            look = self.room.look
            levels = self.dark.wall.picture(leaf.number, size)
            self._picture = grey_surface(levels, sheet_tint(look.palette.name, seen_white(look)))
            words += readings_on(self.dark, leaf.number, self.room)
        self.text.say(words)
        return True

    def _marked(self) -> tuple[str, ...]:
        """Return what is marked on proof sheets; it is read once, for no other sheet lies over this one."""
        if self._worth is None:
            self._worth = self.room.marked_frames()
        return self._worth

    # --- what one does ------------------------------------------------------------------------------------------------

    def _noted(self, words: str) -> None:
        if self.leaf is None:
            return
        here = self.dark is self.room.darkroom
        keep_note(self.dark, self.leaf.number, words, here)
        if not here:
            self._dark[self.leaf.folder] = Darkroom.look(self.leaf.folder)
        self._made = None
        self.room.say("note kept", n=self.leaf.number)

    def _wrote_where(self, words: str) -> None:
        self.room.prefer(replace(self.room.preferences, exports=words))

    def _again(self) -> None:
        assert self.leaf is not None
        record, here = self.dark.wall.record(self.leaf.number), self.room.darkroom
        here.desk.like(record)
        here.paper.set_plan([planned(e) for e in record.exposures])
        self.room.wanted_place = "enlarger"
        self.close()

    def _other(self) -> None:
        from sim.window.things.other_size import OtherSize

        assert self.leaf is not None
        dark, number, back = self.dark, self.leaf.number, self.back
        self.room.wanted_over = lambda: OtherSize(self.room, dark, number, back)

    def _map(self) -> None:
        assert self.leaf is not None
        if self._map_asked != self.leaf:  # nothing is written that was only looked for
            self._map_asked = leaf = self.leaf
            self.room.say("map asks", holds=lambda: self.leaf == leaf == self._map_asked and not self.closed,
                          folder=str(pages_out.folder_for(self.room)))  # fmt: skip
            return
        self._map_asked = None
        pages_out.map_of(self.room, self.dark, self.leaf.number, self.back)

    def _was_right(self) -> None:
        from sim.window.things.right_print import RightPrint

        assert self.leaf is not None
        record, back = self.dark.wall.record(self.leaf.number), self.back
        self.room.wanted_over = lambda: RightPrint(self.room, record, back)

    def _proof(self) -> None:
        """The roll is every negative of the evening that is open, in the order in which they were printed."""
        negatives = list(dict.fromkeys(made.record.negative for made in self.dark.evening.state.sheets))
        pages_out.proof(self.room, negatives, self.back)

    # --- how it lies --------------------------------------------------------------------------------------------------

    def things(self) -> Sequence[Thing]:
        """Return list, leaf and plates."""
        marks = [mark for mark in self.marks[: self._rows] if mark.leaf() is not None]
        leaf: list[Thing] = [self.text, self.note] if self.leaf is not None else [self.text]
        return [self.whose, self.find, *marks, *leaf, *self.out, self.into, self.done]

    def lay_out(self, area: Rect) -> None:
        """List and leaf beside each other, plates below."""
        super().lay_out(area)
        px = self.room.px
        high = flowed([(plate, plate.wanted()) for plate in (*self.out, self.done)], self.inner, px(6))
        _, rest = cut_bottom(self.inner, high, px(8))
        into, rest = cut_bottom(rest, self.into.high(), px(6))
        self.into.rect = into
        left, self._page = cut_left(rest, max(px(190), rest.w * 27 // 100), px(16))
        top, left = cut_top(left, self.whose.wanted()[1], px(6))
        self.whose.rect = Rect(top.x, top.y, min(top.w, self.whose.wanted()[0]), top.h)
        self.find.rect, left = cut_top(left, self.find.high(), px(6))
        self._list = left
        self._lay_out_list()
        self._lay_out_page()

    def _lay_out_list(self) -> None:
        """From the first leaf in view on as many as there is room for."""
        y, self._rows = self._list.y, 0
        for mark in self.marks:
            high = mark.high(self._list.w)
            if mark.leaf() is None or (self._rows and y + high > self._list.bottom):
                break
            mark.rect = Rect(self._list.x, y, self._list.w, high - self.room.px(1))
            y, self._rows = y + high, self._rows + 1

    def _lay_out_page(self) -> None:
        px = self.room.px
        inner = self._page.inflate(-px(28), -px(20))
        note, inner = cut_bottom(inner, self.note.high(), px(8))
        self.note.rect = note
        self._mount, text = cut_left(inner, inner.w * 46 // 100, px(14))
        self.text.lay_out(text)

    def key(self, key: Key) -> bool:
        """Turn leaves; the wheel beside things goes on in the list."""
        steps = {"pageup": -1, "pagedown": 1, "up": -1, "down": 1}.get(key.chord)
        if key.chord in ("wheel-up", "wheel-down"):
            self.scroll(-3 if key.chord == "wheel-up" else 3)
            return True
        if steps is None or not self.found:
            return False
        here = self.found.index(self.leaf) if self.leaf in self.found else 0
        at = max(0, min(len(self.found) - 1, here + steps))
        self.first = min(self.first, at)
        while at >= self.first + max(1, self._rows):
            self.first += 1
            self._lay_out_list()
        self.room.guarded(lambda: self.open_at(self.found[at]))
        return True

    def draw_below(self, canvas: Canvas) -> None:
        """The leaf with the print mounted on it."""
        canvas.plate(self._page, "", radius=4)
        if self._picture is not None:
            rect = fit(self._picture.get_size(), self._mount)
            canvas.surface.blit(pygame.transform.smoothscale(self._picture, rect.size), rect)
