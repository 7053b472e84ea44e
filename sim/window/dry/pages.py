"""The pages at the lower right: paper in hand, strip, cards, plan. One is open at a time."""

from __future__ import annotations

from pygame import Rect

from sim.bench.paper_in_hand import linear_times_s, stop_times_s
from sim.window.dry.part import Part
from sim.window.dry.plan_bars import PlanBars
from sim.window.kit.boxes import columns, cut_bottom, cut_top, rows
from sim.window.kit.buttons import PushButton
from sim.window.kit.choices import ChoiceRow, Row, ScrollList
from sim.window.kit.events import HANDLED, Outcome, said
from sim.window.kit.numbers import NumberField


class PaperPage(Part):
    """Take, lay, turn, put back, throw away, and the way to the wet bench."""

    def build(self) -> None:
        """Make the buttons and the two numbers of the place."""
        t, paper = self.words, self.darkroom.paper
        self.sheet = self.add(PushButton("take-sheet", t("Take a sheet"), lambda: self.screen.take("sheet")))
        self.strip = self.add(PushButton("take-strip", t("Take a strip"), lambda: self.screen.take("strip")))
        self.x = self.add(NumberField("strip-x", t("Middle from left"), 0.0, "mm", -300.0, 900.0, 1.0, 0, self._to_x))
        self.y = self.add(NumberField("strip-y", t("Middle from top"), 0.0, "mm", -300.0, 900.0, 1.0, 0, self._to_y))
        self.turned = self.add(PushButton("turn-strip", t("Turn the strip"), paper.turn))
        self.back = self.add(PushButton("put-back", t("Put it back"), paper.put_back))
        self.away = self.add(PushButton("throw-away", t("Throw it away"), self.screen.ask_throw_away))
        self.develop = self.add(PushButton("develop", t("To the wet bench"), self.screen.develop, big=True))

    def _to_x(self, value: float) -> None:
        self.screen.place_strip(value, self.screen.middle_of_piece()[1])

    def _to_y(self, value: float) -> None:
        self.screen.place_strip(self.screen.middle_of_piece()[0], value)

    def layout(self, rect: Rect) -> None:
        """Two columns, and the way to the wet bench at the bottom."""
        self.rect, px, high = rect, self.look.px, self.x.wanted(self.look)[1]
        self.develop.rect, rest = cut_bottom(rect, px(42), px(8))
        lines = rows(rest, (px(34), high, px(34)), px(8))
        self.sheet.rect, self.strip.rect = columns(lines[0], (1, 1), px(8))
        self.x.rect, self.y.rect = columns(lines[1], (1, 1), px(8))
        self.turned.rect = self.back.rect = columns(lines[2], (1, 1), px(8))[0]
        self.back.rect = columns(lines[2], (1, 1), px(8))[0]
        self.away.rect = columns(lines[2], (1, 1), px(8))[1]
        self.turned.rect = self.away.rect

    def refresh(self) -> None:
        """What can be done depends on what lies there: only that is offered."""
        piece = self.darkroom.paper.piece
        strip = piece is not None and piece.kind == "strip"
        lit = piece is not None and piece.exposures > 0
        x, y = self.screen.middle_of_piece()
        self.x.value, self.y.value = x, y
        nothing = self.words("no paper is out") if piece is None else ""
        only = self.words("a whole sheet lies under the blades") if piece is not None and not strip else nothing
        out = self.words("there is paper on the easel already") if piece is not None else ""
        self.sheet.why_not = self.strip.why_not = out
        self.x.why_not = self.y.why_not = only
        self.turned.visible = self.shown and strip and not lit
        self.away.visible = self.shown and not self.turned.visible
        self.back.why_not = nothing or (self.words("light has fallen on it") if lit else "")
        self.away.why_not = nothing
        self.develop.why_not = nothing or ("" if lit else self.words("no light has fallen on it yet"))


class StripPage(Part):
    """A strip set up in one go, or covered step by step by hand."""

    covered = 0

    def build(self) -> None:
        """Make the numbers of a strip."""
        t = self.words
        self.first = self.add(NumberField("strip-first", t("First"), 4.0, "s", 0.1, 600.0, 0.5, 1))
        self.step = self.add(NumberField("strip-step", t("Step"), 0.5, "", 0.05, 60.0, 0.25, 2))
        self.count = self.add(NumberField("strip-count", t("Steps"), 5.0, "", 2.0, 12.0, 1.0, 0))
        self.unit = self.add(ChoiceRow("strip-unit", "", [("stops", t("in stops")), ("seconds", t("in seconds"))], "stops"))
        ways = [("covered", t("Covered")), ("bursts", t("Bursts")), ("same-place", t("Same place"))]
        self.way = self.add(ChoiceRow("strip-way", "", ways, "covered"))
        self.lay = self.add(PushButton("lay-strip", t("Expose the strip"), self.in_one_go))
        self.cover_step = self.add(PushButton("cover-step", t("Cover a step"), self.cover_next))

    def times_s(self) -> tuple[float, ...]:
        """Return the seconds of every step as set."""
        count = int(self.count.value)
        if self.unit.value == "stops":
            return tuple(stop_times_s(self.first.value, self.step.value, count))
        return tuple(linear_times_s(self.first.value, self.step.value, count))

    def marks(self) -> tuple[tuple[str, float, float], ...]:
        """Return words and place on the easel of every step of the strip in hand, or of the one that is set up."""
        paper = self.darkroom.paper
        piece = paper.piece
        if piece is None:
            return ()
        if self.only_planned():
            times, down = self.times_s(), piece.height_mm >= piece.width_mm
            shares = [(n + 0.5) / len(times) for n in range(len(times))]
            wide, high = piece.width_mm, piece.height_mm
            places = [(0.5 * wide, share * high) if down else (share * wide, 0.5 * high) for share in shares]
            return tuple((f"{t:.1f} s", piece.x_mm + x, piece.y_mm + y) for t, (x, y) in zip(times, places))
        return tuple((f"{mark.time_s:.1f} s", mark.x_mm + piece.x_mm, mark.y_mm + piece.y_mm) for mark in paper.strip_steps)

    def only_planned(self) -> bool:
        """Tell whether the steps shown are still to be exposed."""
        return not self.darkroom.paper.strip_steps

    def cover(self) -> tuple[float, bool] | None:
        """Return the share of the piece under the cardboard and whether it lies along y, or None."""
        hand = self.darkroom.kept.hand
        return (hand.cover[0], hand.cover[1] == 90.0) if hand is not None and hand.cover is not None else None

    def angle_deg(self) -> float:
        """Return the direction in which the steps grow: along the strip, down or to the right."""
        piece = self.darkroom.paper.piece
        return 90.0 if piece is None or piece.height_mm >= piece.width_mm else 0.0

    def in_one_go(self) -> Outcome:
        """Give every step its time, over whatever light has fallen on the strip before."""
        times = self.times_s()
        self.darkroom.paper.lay_strip(times, self.way.value, self.angle_deg())
        self.screen.easel.forget()
        return said(self.words("Steps of {times} s", times=", ".join(f"{t:.1f}" for t in times)))

    def cover_next(self) -> Outcome:
        """Move the cardboard on by a step; after the last it comes off."""
        count = int(self.count.value)
        self.covered = (self.covered + 1) % count
        share = self.covered / count
        self.darkroom.paper.cover(share or None, self.angle_deg())
        self.screen.easel.forget()
        if not self.covered:
            return said(self.words("Cover off"))
        return said(self.words("{covered} of {count} steps covered", covered=self.covered, count=count))

    def layout(self, rect: Rect) -> None:
        """Numbers, unit, way, and the two ways of exposing."""
        self.rect, px, high = rect, self.look.px, self.first.wanted(self.look)[1]
        buttons, rest = cut_bottom(rect, px(42), px(8))
        self.lay.rect, self.cover_step.rect = columns(buttons, (3, 2), px(8))
        lines = rows(rest, (high, px(30), px(30)), px(8))
        self.first.rect, self.step.rect, self.count.rect = columns(lines[0], (1, 1, 1), px(6))
        self.unit.rect, self.way.rect = lines[1], lines[2]

    def refresh(self) -> None:
        """The step's unit follows the choice; without a strip nothing can be laid."""
        piece = self.darkroom.paper.piece
        self.step.unit = "s" if self.unit.value == "seconds" else ""
        if piece is None:
            self.covered = 0
        self.lay.why_not = self.words("take a strip or a sheet first") if piece is None else ""
        self.cover_step.why_not = self.lay.why_not


class CardsPage(Part):
    """The cards fixed by numbers for the next exposure."""

    def build(self) -> None:
        """Make the list and its buttons."""
        t = self.words
        self.list = self.add(ScrollList("fixed-cards", "", [], "", self._choose))
        self.numbers = self.add(PushButton("by-numbers", t("By numbers"), lambda: self.screen.open("numbers")))
        self.fix = self.add(PushButton("fix-card", t("Fix it here"), self.screen.fix_card))
        self.remove = self.add(PushButton("remove-card", t("Take it away"), self.screen.remove_card))

    def _choose(self, key: str) -> Outcome:
        self.screen.choose_card(int(key))
        return HANDLED

    def layout(self, rect: Rect) -> None:
        """List above, buttons below."""
        self.rect, px = rect, self.look.px
        low, rest = cut_bottom(rect, px(34), px(8))
        middle, self.list.rect = cut_bottom(rest, px(34), px(8))
        self.numbers.rect = low
        self.fix.rect, self.remove.rect = columns(middle, (1, 1), px(8))

    def refresh(self) -> None:
        """One row a card, with the seconds it was in the light."""
        hands, seconds = self.screen.hands, self.screen.lamp.card_seconds
        cards = [(str(n), card, "pin") for n, card in enumerate(hands.fixed)]
        if hands.held is not None:
            cards.append(("-1", hands.held, "dot"))
        self.list.rows = [
            Row(key, self.words(card.name), f"{seconds[card.name]:.1f} s" if card.name in seconds else "", mark)
            for key, card, mark in cards
        ]
        self.list.value = str(hands.chosen)
        self.list.label = "" if cards else self.words("No card over the easel: take one from the rack")
        none = self.words("no card in hand") if hands.held is None else ""
        self.fix.why_not = none
        self.remove.why_not = self.words("no card is chosen") if hands.edited is None else ""
        self.numbers.why_not = self.remove.why_not and self.words("take a card from the rack first")


class PlanPage(Part):
    """The exposures of this sheet, done and to come."""

    def build(self) -> None:
        """Make the bars and what is done with them."""
        t = self.words
        empty = t("No plan: set time, filter and cards, then add an exposure. Soft first, hard over it, burns last.")
        self.bars = self.add(PlanBars("plan", empty, self.screen.plan.change, self.screen.plan.strike))
        self.more = self.add(PushButton("plan-add", t("Add this setting"), self.screen.plan.add))
        self.next = self.add(PushButton("plan-next", t("Expose next"), self.screen.plan.expose_next))
        self.every = self.add(PushButton("plan-all", t("All"), self.screen.plan.expose_all))

    def layout(self, rect: Rect) -> None:
        """Bars above, buttons below."""
        self.rect, px = rect, self.look.px
        row, rest = cut_bottom(rect, px(34), px(8))
        self.next.rect, self.every.rect = columns(row, (3, 2), px(8))
        self.more.rect, self.bars.rect = cut_bottom(rest, px(34), px(8))

    def refresh(self) -> None:
        """Copy the bars."""
        paper = self.darkroom.paper
        self.bars.bars = paper.bars()
        self.bars.chosen = max(0, min(self.bars.chosen, len(self.bars.bars) - 1))
        waiting = any(not bar.done for bar in self.bars.bars)
        reason = "" if waiting else self.words("nothing is planned")
        self.next.why_not = self.every.why_not = reason or ("" if paper.piece else self.words("no paper is out"))


class Pages(Part):
    """The selector and the page that is open."""

    open = "paper"

    def build(self) -> None:
        """Make the selector; the pages make their own controls."""
        t = self.words
        options = [("paper", t("Paper")), ("strip", t("Strip")), ("cards", t("Cards")), ("plan", t("Plan"))]
        self.choice = self.add(ChoiceRow("page", "", options, "paper", self.turn_to))
        screen = self.screen
        self.pages = {"paper": screen.paper_page, "strip": screen.strip, "cards": screen.cards, "plan": screen.plan_page}
        for page in self.pages.values():
            page.build()

    def turn_to(self, name: str) -> None:
        """Open a page."""
        self.open = self.choice.value = name
        for key, page in self.pages.items():
            page.show(key == name)

    def layout(self, rect: Rect) -> None:
        """Selector on top."""
        self.rect, px = rect, self.look.px
        self.choice.rect, rest = cut_top(rect, px(32), px(10))
        for page in self.pages.values():
            page.layout(rest)

    def refresh(self) -> None:
        """Only the open page is seen."""
        for key, page in self.pages.items():
            page.show(key == self.open)
            page.refresh()
