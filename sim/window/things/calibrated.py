"""What readings told of a paper or an enlarger of one's own: the graph, the words, a name, and into the drawer with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.bench.own_enlargers import FoundEnlarger
from sim.bench.own_papers import FoundPaper, lies_there, title_of
from sim.notebook.own_paper_graph import PaperGraph
from sim.window.hands.thing import Cursor, Thing
from sim.window.kit.axes import Axes, draw_curve, draw_dashed, draw_grid, free_places
from sim.window.kit.boxes import cut_bottom, cut_left, cut_top
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import mixed
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things import pages_out
from sim.window.things.in_room import InRoom, Plate
from sim.window.things.scrolled import Paragraph, ScrolledWords
from sim.window.things.written import Written

Back = Callable[[], object]
LEAST_OFF = 0.06  # density that the graph of misses reaches either way at least: three errors of a reading
LABEL_SHARE = (0.45, 0.62, 0.53, 0.70, 0.37)  # of a curve's black where its filter is written, one beside the other


class PaperCurves(InRoom):
    """The curves with their readings, and below how far each reading lies from its curve."""

    cursor: Cursor = "arrow"

    def __init__(self, room: OneRoom, graph: PaperGraph):
        super().__init__(room, "paper curves")
        self._graph = graph

    def draw(self, canvas: Canvas) -> None:
        """Both graphs."""
        look, line = canvas.look, canvas.look.line_height("small")
        low, high = cut_bottom(self.rect, self.rect.h * 27 // 100, line)
        side = look.px(38)
        plot = Rect(high.x + side, high.y + line + look.px(4), high.w - side - look.px(6), high.h - 3 * line - look.px(8))
        axes = Axes(plot, self._graph.left, self._graph.right, 0.0, self._graph.top)
        draw_grid(canvas, axes, most_x=6, most_y=6)
        self._curves(canvas, axes)
        canvas.text(self.room.line("print density"), high.topleft, "small", "soft", room=high.w, shorten=True)
        below = (plot.right, plot.bottom + line + look.px(4))
        canvas.text(self.room.line("log exposure"), below, "small", "soft", "topright", plot.w, shorten=True)
        self._misses(canvas, Rect(plot.x, low.y + line, plot.w, low.h - 2 * line - look.px(6)), low)

    def _curves(self, canvas: Canvas, axes: Axes) -> None:
        look, surface = canvas.look, canvas.surface
        clip = surface.get_clip()
        surface.set_clip(axes.rect.clip(clip))
        band = mixed(look.colour("sunk"), look.colour("soft"), 0.3)
        for one in self._graph.curves:
            upper = [axes.at(x, y) for x, y in zip(one.log_exposure, one.high, strict=True)]
            lower = [axes.at(x, y) for x, y in zip(one.log_exposure, one.low, strict=True)]
            pygame.draw.polygon(surface, band, [*upper, *reversed(lower)])
        surface.set_clip(clip)
        for one in self._graph.curves:
            draw_curve(canvas, axes, one.log_exposure, one.density, 1.8 if one.read else 0.7)
        for k, strip in enumerate(self._graph.strips):
            for x, y in zip(strip.log_exposure, strip.density, strict=True):
                if axes.left <= x <= axes.right:
                    _dot(canvas, axes.at(x, y), bool(k % 2))
        self._labels(canvas, axes)

    def _labels(self, canvas: Canvas, axes: Axes) -> None:
        look = canvas.look
        points, sizes, words = [], [], []
        for k, one in enumerate(self._graph.curves):
            wanted = one.density[0] + LABEL_SHARE[k % len(LABEL_SHARE)] * (one.density[-1] - one.density[0])
            n = next((n for n, density in enumerate(one.density) if density > wanted), 0)
            points.append(axes.at(one.log_exposure[n], one.density[n]))
            sizes.append((look.width(one.setting, "small") + look.px(4), look.line_height("small")))
            words.append(one.setting)
        for word, place in zip(words, free_places(points, sizes, axes.rect, look.px(8)), strict=True):
            pygame.draw.rect(canvas.surface, look.colour("sunk"), place)
            canvas.text(word, place.center, "small", "ink", "center")

    def _misses(self, canvas: Canvas, plot: Rect, whole: Rect) -> None:
        graph, look = self._graph, canvas.look
        most = max(LEAST_OFF, 1.1 * graph.most_off)
        last = max((step for strip in graph.strips for step in strip.steps), default=1)
        axes = Axes(plot, 0.0, last + 1.0, -most, most)
        canvas.text(self.room.line("cal misses"), whole.topleft, "small", "soft", room=whole.w, shorten=True)
        draw_grid(canvas, axes, numbers="bottom", most_x=8, most_y=4)
        for way, words in ((1.0, f"+{self.room.number(most, 2)}"), (-1.0, f"−{self.room.number(most, 2)}")):
            at = (plot.x - look.px(5), round(axes.at(0.0, way * most)[1] + way * look.line_height("small") / 3))
            canvas.text(words, at, "small", "soft", "midright")
        draw_dashed(canvas, axes.at(0.0, 0.0), axes.at(last + 1.0, 0.0), "soft")
        for k, strip in enumerate(graph.strips):
            for step, off in zip(strip.steps, strip.off, strict=True):
                _dot(canvas, axes.at(step, off), bool(k % 2))


def _dot(canvas: Canvas, at: tuple[float, float], hollow: bool) -> None:
    """Draw a reading: filled, or a ring for every other strip."""
    look, place = canvas.look, (round(at[0]), round(at[1]))
    pygame.draw.circle(canvas.surface, look.colour("shade"), place, look.px(4))
    pygame.draw.circle(canvas.surface, look.colour("lamp"), place, look.px(3))
    if hollow:
        pygame.draw.circle(canvas.surface, look.colour("shade"), place, look.px(1.5))


class Calibrated(Overlay):
    """The graph at the left, the words at the right, below the name it shall have."""

    share = (0.95, 0.96)

    def __init__(self, room: OneRoom, found: FoundPaper | FoundEnlarger, back: Back, drawer: Back):
        super().__init__(room, room.name("calibrated"))
        self._found, self._back, self._drawer, self._sure = found, back, drawer, ""
        self.curves = PaperCurves(room, found.graph()) if isinstance(found, FoundPaper) else None
        self.text = ScrolledWords(room, "cal words")
        self.text.say(self._words())
        paper = self.curves is not None
        self.called = Written(room, "own name", "my-paper" if paper else "my-enlarger", lambda words: None, 64)
        self.keep, self.page = Plate(room, "into drawer", self._keep), Plate(room, "cal page", self._page)

    def _words(self) -> list[Paragraph]:
        found, room = self._found, self.room
        if isinstance(found, FoundEnlarger):
            return [(room.said(line), "small", "ink") for line in found.lines()]
        lines, said = [room.said(line) for line in found.lines()], list[Paragraph]()
        before = found.lines_before
        for line in lines[:before]:  # before any figure: all of them stand on it
            said.append((line, "small", "ink" if found.wedge_checked else "warn"))
        for setting, iso_range, speed, read in found.rows():
            key = "cal row read" if read else "cal row foretold"
            said.append((room.line(key, setting=setting, range=iso_range, speed=speed), "small", "ink" if read else "soft"))
        said += [(line, "small", "ink") for line in lines[before:]]
        return [*said, (room.line("cal graph"), "small", "soft")]

    def close(self) -> None:
        """Back to what was asked."""
        super().close()
        self.room.wanted_over = self._back

    def _name(self) -> str:
        return self.called.now().strip()

    def _keep(self) -> None:
        """Lay it on one's own shelf; what lies there already is replaced when it is asked for twice."""
        found, name, paper = self._found, self._name(), self.curves is not None
        if lies_there(name, paper) and self._sure != name:
            self._sure = name
            self.room.say("lies there already", warn=True, name=name)
            return
        if isinstance(found, FoundPaper):
            found.keep(name, title_of(name))
        else:
            found.called(name).keep(title_of(name))
        self.room.say("paper in drawer" if paper else "enlarger in drawer", name=title_of(name))
        super().close()
        self.room.wanted_over = self._drawer if self.room.open else self._back

    def _page(self) -> None:
        assert isinstance(self._found, FoundPaper)
        pages_out.own_paper(self.room, self._found, self._name(), lambda: self)

    def plates(self) -> Sequence[Plate]:
        """Into the drawer, the page of curves, back."""
        return (self.keep, self.page, self.done) if self.curves is not None else (self.keep, self.done)

    def things(self) -> Sequence[Thing]:
        """Return graph, words, name, plates."""
        return [*([self.curves] if self.curves is not None else []), self.text, self.called, *self.plates()]

    def lay_out(self, area: Rect) -> None:
        """Graph and words beside each other, the name under the words."""
        super().lay_out(area)
        px = self.room.px
        rest = self.above_the_foot(8, 8)
        if self.curves is not None:
            self.curves.rect, rest = cut_left(rest, rest.w * 56 // 100, px(14))
        name, words = cut_bottom(rest, self.called.high(), px(8))
        self.called.rect = name
        self.text.lay_out(cut_top(words, words.h)[0])
