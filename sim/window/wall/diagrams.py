"""What the wall shows instead of the prints: made when asked for, kept until something changes, then only drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sim.refusals import Refusal, Refused
from sim.viewing.plain_names import plain_name
from sim.window.kit.boxes import inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import Row
from sim.window.wall.difference_view import difference_words, draw_difference
from sim.window.wall.split_view import draw_split, pair_of, plan_bars_of, plan_of, split_picture
from sim.window.wall.tone_views import draw_paper_curve, draw_tone_chain, tone_rows, tone_words
from sim.window.wall.wall_words import SPLIT_WORDS

if TYPE_CHECKING:
    from sim.window.wall.wall_screen import WallScreen


class Diagrams:
    """The view under way, its data, and why there is none."""

    def __init__(self) -> None:
        self.key: tuple[Any, ...] | None = None
        self.data: Any = None
        self.refusal = ""
        self.names = ("", "")
        self.pair: Any = None
        self.plan: Any = None
        self.bars: Any = ()
        self.picture: Any = None

    def make(self, screen: WallScreen) -> None:
        """Ask the wall for what the view needs, where it has changed; refusals become the words shown instead."""
        view = screen.view.value
        if view == "prints" or not screen.body.w:
            return
        if view == "chain" and self.data is not None and self.key is not None and self.key[0] == "chain":
            screen.words.text = tone_words(self.data, screen.places.value, screen.room.words.text)
        key = (
            view, screen.chosen, tuple(screen.pinned), screen.known, tuple(screen.body), screen.lux, screen.wet.value,
            screen.room.look.scale, screen.soft.value, screen.hard.value, screen.room.words.language,
            screen.room.darkroom.folder,
        )  # fmt: skip
        if key == self.key:
            return
        self.key, self.refusal, self.data = key, "", None
        try:
            getattr(self, f"_make_{view}")(screen)
        except Refusal as refusal:
            self.refusal, self.data = str(refusal), None
        if self.refusal:
            screen.words.text = ""
        if self.refusal:
            screen.places.rows = []
            screen.use_plan.enabled = False
            screen.soft.options = screen.hard.options = []
            screen.soft.visible = screen.hard.visible = False

    def _make_difference(self, screen: WallScreen) -> None:
        t, wall = screen.room.words.text, screen.room.darkroom.wall
        chosen, others = screen.chosen, [n for n in screen.pinned if n != screen.chosen]
        if chosen is None or not others:
            raise Refused(t("Pin two prints of one negative to the wall; the chosen one is compared with the other."))
        kind = screen.by_number[chosen].kind  # a print is compared with a print where one hangs
        one = next((n for n in reversed(others) if screen.by_number[n].kind == kind), others[-1])
        size = (max(8, screen.body.w), max(8, screen.body.h))
        self.names = (screen.prints.captions[one].split(",")[0], screen.prints.captions[chosen].split(",")[0])
        self.data = wall.difference(one, chosen, size)
        screen.words.text = difference_words(self.data, self.names, t)

    def _chosen_sheet(self, screen: WallScreen) -> int:
        if screen.chosen is None:
            t = screen.room.words.text
            raise Refused(t("Nothing hangs here yet. Every developed sheet and strip comes to this wall."))
        return screen.chosen

    def _make_curve(self, screen: WallScreen) -> None:
        self.data = screen.room.darkroom.wall.curve(self._chosen_sheet(screen))
        if not self.data.points:
            raise Refused(screen.room.words.text("None of the named places lies on this piece."))
        rows = sorted(self.data.points, key=lambda p: p.density)
        screen.places.rows = [Row(p.place, plain_name(p.place), f"D {p.density:.2f}") for p in rows]
        screen.words.text = screen.room.words.text(
            "The curve of this paper for this filter and development. Places off it got flare, fall-off, a burn or a card."
        )
        self._keep_place(screen)

    def _make_chain(self, screen: WallScreen) -> None:
        self.data = screen.room.darkroom.wall.tone_chain(self._chosen_sheet(screen))
        if not self.data.points:
            raise Refused(screen.room.words.text("None of the named places lies on this piece."))
        screen.places.rows = [Row(*row) for row in tone_rows(self.data)]
        self._keep_place(screen)
        screen.words.text = tone_words(self.data, screen.places.value, screen.room.words.text)

    def _keep_place(self, screen: WallScreen) -> None:
        if screen.places.value not in {row.key for row in screen.places.rows}:
            screen.places.value = screen.places.rows[0].key

    def _make_split(self, screen: WallScreen) -> None:
        t, wall = screen.room.words.text, screen.room.darkroom.wall
        self.plan = None
        self.pair = pair_of(wall, list(screen.by_number.values()), screen.pinned)
        if self.pair is None:
            raise Refused(
                t("Lay two strips, one through a soft and one through a hard filter: they are set side by side here.")
            )
        for control, half in zip((screen.soft, screen.hard), self.pair, strict=True):
            keys = [(str(n), str(n + 1)) for n in range(len(half.densities))]
            control.options = keys
            if control.value not in dict(keys):
                control.value = keys[len(keys) // 2][0]
        self.plan = plan_of(self.pair, int(screen.soft.value), int(screen.hard.value), t)
        self.bars = plan_bars_of(self.plan)
        screen.use_plan.enabled = True
        screen.words.text = t(SPLIT_WORDS)
        self.data = split_picture(
            screen.body, screen.room.look, wall, self.pair, screen.lux, screen.wet.value, self.bars
        )  # fmt: skip

    def draw(self, canvas: Canvas, screen: WallScreen) -> None:
        """Draw the view, or the words that say what it needs."""
        t, look, body = screen.room.words.text, canvas.look, screen.body
        view = screen.view.value
        if self.data is None:
            inner = canvas.panel(body)
            canvas.lines(self.refusal, inset(inner, look.px(40), look.px(40)), "body", "ink")
        elif view == "difference":
            draw_difference(canvas, body, self.data, self.names, t)
        elif view == "curve":
            draw_paper_curve(canvas, inset(body, look.px(4)), self.data, screen.places.value, t)
        elif view == "chain":
            draw_tone_chain(canvas, body, self.data, screen.places.value, t)
        elif view == "split":
            steps = (int(screen.soft.value), int(screen.hard.value))
            draw_split(canvas, self.data, self.pair, steps, screen.lux, self.bars, t)
