"""The plan as a strip of film under the easel: every exposure a frame with filter and seconds, given one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pygame
from pygame import Rect

from sim.bench.paper_in_hand import USUAL_DIMMED_STOPS
from sim.control_ranges import CONTROLS
from sim.notebook.exposure_plan import PlanBar, PlannedExposure
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.kit.shading import mixed
from sim.window.standing.room import OneRoom
from sim.window.things.filters import HARDEST, SOFTEST, stamped
from sim.window.things.in_room import InRoom

MOST_FRAMES = 10
HARDNESS = {"00": 0.0, "0": 0.1, "1": 0.3, "2": 0.5, "3": 0.7, "4": 0.85, "5": 1.0}
STEP_S, DRAG_S = 0.5, 0.1


def dye_share(filter_name: str) -> float:
    """Return how far along from the softest to the hardest filter's colour one is drawn."""
    return HARDNESS.get(filter_name, HARDNESS.get(filter_name.removesuffix(".5"), 0.5))


class PlanStrip:
    """What is to be given, and what of it was. The bench keeps the plan; this shows and changes it."""

    def __init__(self, room: OneRoom):
        self.room = room
        self.frames = [PlanFrame(room, self, n) for n in range(MOST_FRAMES)]
        self.add = AddFrame(room, self)
        self.waits: Callable[[], bool] = lambda: False  # whether a strip's steps come before anything of it
        self.rect = Rect(0, 0, 0, 0)

    def bars(self) -> list[PlanBar]:
        """Return one bar for every exposure, done or to come."""
        return [bar for bar in self.room.darkroom.paper.bars() if bar.kind not in ("dodge", "step")][-MOST_FRAMES:]

    def waiting(self) -> list[PlannedExposure]:
        """Return the exposures still to come."""
        kept = self.room.darkroom.kept
        return list(self.room.darkroom.paper.plan[kept.plan_done :])

    def next(self) -> PlannedExposure | None:
        """Return the exposure that the foot gives next, or None without one."""
        waiting = self.waiting()
        return waiting[0] if waiting else None

    @property
    def whole(self) -> bool:
        """Whether there was a plan and all of it was given."""
        kept = self.room.darkroom.kept
        return bool(kept.plan) and kept.plan_done >= len(kept.plan) and kept.hand is not None

    def put(self, plan: list[PlannedExposure]) -> None:
        """Change what is still to come."""
        if self.room.burning:
            self.room.say("plan burns", warn=True)
            return
        self.room.darkroom.paper.set_plan(plan)

    def append(self) -> None:
        """Add an exposure as timer, filter and lens stand now."""
        now = self.room.darkroom.desk.now
        one = PlannedExposure(now.time_s, now.f_number, now.filtration.name)
        if now.opal_sheet:
            one = replace(one, through="open", dimmed_stops=USUAL_DIMMED_STOPS)
        self.put([*self.waiting(), one])

    def change(self, waiting: int, seconds: float) -> None:
        """Give a waiting exposure another time; its cards keep their share of it."""
        plan = self.waiting()
        seconds = round(CONTROLS["time_s"].nearest(seconds), 1)
        share = seconds / plan[waiting].time_s
        cards = tuple(
            replace(c, start_s=round(c.start_s * share, 3), stop_s=round(c.stop_s * share, 3)) for c in plan[waiting].cards
        )
        plan[waiting] = replace(plan[waiting], time_s=seconds, cards=cards)
        self.put(plan)

    def strike(self, waiting: int) -> None:
        """Strike a waiting exposure out."""
        self.put([one for n, one in enumerate(self.waiting()) if n != waiting])

    def lay_out(self, rect: Rect) -> None:
        """Frames beside each other; the open end of the film stands behind the last."""
        self.rect = rect
        count = len(self.bars())
        each = min(self.room.px(104), max(self.room.px(64), (rect.w - self.room.px(64)) // max(1, count + 1)))
        for n, frame in enumerate(self.frames):
            frame.rect = Rect(rect.x + n * each, rect.y, each, rect.h) if n < count else Rect(0, 0, 0, 0)
        wide = min(self.room.px(104 if count else 168), rect.right - rect.x - count * each)
        self.add.rect = Rect(rect.x + count * each, rect.y, wide, rect.h)

    def draw_film(self, canvas: Canvas) -> None:
        """The film itself, with its perforation."""
        look, surface = canvas.look, canvas.surface
        film = Rect(self.rect.x, self.rect.y, self.add.rect.right - self.rect.x, self.rect.h)
        pygame.draw.rect(surface, look.colour("sunk"), film)
        hole = (look.px(5), look.px(3))
        for x in range(film.x + look.px(5), film.right - look.px(5), look.px(11)):
            for y in (film.y + look.px(2), film.bottom - look.px(5)):
                pygame.draw.rect(surface, look.colour("raised"), Rect((x, y), hole), border_radius=1)


class PlanFrame(InRoom):
    """One exposure. Turn the wheel over it for its seconds, Delete strikes it out; the next one to be given is lit."""

    key_of_words, cursor = "plan frame", "across"

    def __init__(self, room: OneRoom, plan: PlanStrip, number: int):
        super().__init__(room, f"plan {number + 1}")
        self._plan, self._number = plan, number

    def _bar(self) -> PlanBar | None:
        bars = self._plan.bars()
        return bars[self._number] if self._number < len(bars) else None

    def _waiting(self) -> int:
        """Return which of the waiting exposures it is; below 0 for one that was given."""
        bars = self._plan.bars()
        return self._number - sum(bar.done for bar in bars)

    def now(self) -> str:
        """Filter, seconds, what it is for, whether it was given."""
        bar = self._bar()
        if bar is None:
            return ""
        waiting = self._waiting()
        first = waiting == 0 and not self._plan.waits()
        after_strip = waiting == 0 and self._plan.waits()
        done = self.room.line("given" if bar.done else "next one" if first else "after strip" if after_strip else "waits")
        pictured = waiting >= 0 and bar.kind != "flash"
        own = self.room.darkroom.desk.own_seconds(self._plan.waiting()[waiting].exposure()) if pictured else None
        seconds = f"{self.room.number(bar.seconds)} s" if own is None else str(own)
        return f"{stamped(bar.filter)} · {seconds} · {bar.label} · {done}"

    def locked(self) -> str:
        """What was given is given."""
        return self.room.line("light given") if self._waiting() < 0 else ""

    def press(self, at: Pointer) -> Gesture | None:
        """Drag it longer or shorter."""
        bar, waiting = self._bar(), self._waiting()
        if bar is None or waiting < 0:
            return None
        stood = bar.seconds

        def move(dx: int, dy: int, _: Pointer) -> None:
            self._plan.change(waiting, stood + dx / max(1, self.room.px(1)) * DRAG_S)

        return Drag(at, move, lambda: None, None, lambda: self._plan.change(waiting, stood))

    def by(self, steps: int, fine: bool) -> bool:
        """More seconds, or fewer."""
        bar = self._bar()
        if bar is not None and self._waiting() >= 0:
            self._plan.change(self._waiting(), bar.seconds + steps * (DRAG_S if fine else STEP_S))
        return True

    def key(self, key: Key) -> bool:
        """Delete strikes it out."""
        if key.name in ("delete", "backspace") and self._waiting() >= 0:
            self._plan.strike(self._waiting())
            return True
        return False

    def draw(self, canvas: Canvas) -> None:
        """A frame: the filter's colour, its number, the seconds; a tick when it was given, a lit edge when it is next."""
        bar, look = self._bar(), canvas.look
        if bar is None:
            return
        inner = self.rect.inflate(-look.px(4), -look.px(14))
        next_one = self._waiting() == 0 and not self._plan.waits()
        light = look.colour("paper") if bar.kind == "flash" else mixed(SOFTEST, HARDEST, dye_share(bar.filter))
        dye = mixed(look.colour("panel"), light, 0.28 if not bar.done else 0.12)
        pygame.draw.rect(canvas.surface, dye, inner, border_radius=look.px(2))
        edge = "lamp" if next_one else ("soft" if self.hot else "edge")
        pygame.draw.rect(canvas.surface, look.colour(edge), inner, look.px(2) if next_one else 1, border_radius=look.px(2))
        line = look.line_height("small")
        canvas.text(f"{self.room.number(bar.seconds)} s", (inner.centerx, inner.centery), "strong", "ink", "center", inner.w)
        if inner.h > 2.6 * line:
            said = self._said(bar)
            canvas.text(said, (inner.centerx, inner.y + look.px(1)), "small", "soft", "midtop", inner.w, shorten=True)
        cards = len(self._plan.waiting()[self._waiting()].cards) if self._waiting() >= 0 else 0
        if cards and inner.h > 2.6 * line:
            said = self.room.words.count("{count} card in it", "{count} cards in it", cards, count=cards)
            canvas.text(said, (inner.centerx, inner.bottom - look.px(1)), "small", "soft", "midbottom", inner.w, shorten=True)
        if bar.done:
            canvas.mark("tick", (inner.right - look.px(8), inner.bottom - look.px(8)), look.px(12), "soft")

    def _said(self, bar: PlanBar) -> str:
        if bar.kind == "flash":
            return self.room.line("flash")
        number = stamped(bar.filter)
        if bar.stops is not None:
            sign = "+" if bar.stops > 0 else ""
            return f"{number}  {sign}{self.room.number(bar.stops)}"
        return number


class AddFrame(InRoom):
    """The open end of the film: adds an exposure as timer, filter and lens stand."""

    control = "exposures"

    def __init__(self, room: OneRoom, plan: PlanStrip):
        super().__init__(room, "plan add")
        self._plan = plan

    def pressed(self) -> None:
        """Add it."""
        self._plan.append()

    def draw(self, canvas: Canvas) -> None:
        """A frame of dots with a plus, and what it is for while the film is empty."""
        look = canvas.look
        inner = self.rect.inflate(-look.px(4), -look.px(14))
        pygame.draw.rect(canvas.surface, look.colour("soft" if self.hot else "lamp-off"), inner, 1, border_radius=look.px(2))
        words = self.name()
        if look.width(words, "small") + look.px(26) <= inner.w:
            rect = canvas.text(words, (inner.centerx + look.px(8), inner.centery), "small", "soft", "center", inner.w)
            at = (rect.x - look.px(10), inner.centery)
        else:
            at = inner.center
        arm = look.px(5)
        canvas.line((at[0] - arm, at[1]), (at[0] + arm, at[1]), "soft", 1.5)
        canvas.line((at[0], at[1] - arm), (at[0], at[1] + arm), "soft", 1.5)
