"""The paper in hand: out of the box, laid on the easel, exposed once or many times, under cards or step by step.

Here: what is seen of it while the lamp is on, and the plan. Laying it down and exposing it stand in the two files before.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim.bench.easel_view import EaselPicture
from sim.bench.exposing import Exposing
from sim.bench.live_exposure import LivePrint
from sim.bench.piece_on_easel import Piece as Piece
from sim.bench.tools import CardPose
from sim.enlarger.easel import sheet_grid
from sim.enlarger.settings import checked_aperture
from sim.notebook.plan import PlanBar as PlanBar
from sim.notebook.plan import PlannedExposure as PlannedExposure
from sim.notebook.plan import bars, planned
from sim.paper.response import Response
from sim.printing.cards import CardOptics, lit_share
from sim.printing.exposure import expose
from sim.printing.quick_view import QuickView
from sim.printing.record import MAX_EXPOSURES
from sim.printing.shadow_now import ShadowNow
from sim.printing.strips import linear_times_s as linear_times_s
from sim.printing.strips import stop_times_s as stop_times_s
from sim.refusals import Refused
from sim.viewing.lightness import screen_values

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom

Region = tuple[float, float, float, float]


class PaperInHand(Exposing):
    """The one piece of paper that is out of the box and not yet in the developer."""

    def __init__(self, room: Darkroom):
        super().__init__(room)
        self._quick: OrderedDict[tuple[str, float, float, float], QuickView] = OrderedDict()
        self._shadows, self._drawing = ShadowNow(), LivePrint()
        self._bars: tuple[object, tuple[PlanBar, ...]] | None = None

    def shadow(
        self, size_px: tuple[int, int], cards: Sequence[CardPose], region_mm: Region | None = None
    ) -> NDArray[np.float32]:
        """Return the share of light that the cards let through to every point of the easel now [row, col]."""
        grid, region = self._room.easel.view_grid(size_px, region_mm)
        bench, now = self._room.desk.bench, self._room.desk.now
        pupil_mm = bench.lens.focal_mm / checked_aperture(bench.lens, now.f_number)
        optics = CardOptics(bench.lens_to_paper_mm, pupil_mm)
        placed = [pose.card().placed(1.0, -region[0], -region[1]) for pose in cards]
        lit = self._shadows.lit(placed, grid, optics)
        return np.ones((grid.rows, grid.cols), dtype=np.float32) if lit is None else lit

    def live_easel(
        self, size_px: tuple[int, int], cards: Sequence[CardPose], region_mm: Region | None = None
    ) -> EaselPicture:
        """Return the projection with the cards' shadows in it."""
        share = self.shadow(size_px, cards, region_mm) if cards else None
        return self._room.easel.picture(size_px, region_mm, share)

    def _px_per_mm(self, size_px: tuple[int, int]) -> float:
        hand = self._out()
        cols, rows = size_px
        if not (8 <= cols <= 4096 and 8 <= rows <= 4096):
            raise Refused(f"a picture must be 8 to 4096 px each way, got {size_px!r}")
        return min(cols / hand.width_mm, rows / hand.height_mm)

    def effective_seconds(self, size_px: tuple[int, int]) -> NDArray[np.float32]:
        """Return seconds of light so far of the exposure under way, on the piece [row, col] (fits inside ``size_px``)."""
        return self._lit().map(self._px_per_mm(size_px)).seconds.copy()

    def live_print(self, size_px: tuple[int, int]) -> NDArray[np.uint8]:
        """Return the piece as it would develop now. Raises Refused where the lesson keeps it for the developer."""
        if not self._room.rules.may_preview:
            raise Refused("what comes of it is seen in the developer, not before")
        quick, px_per_mm = self._quick_view(), self._px_per_mm(size_px)
        if self._live is not None:
            return self._drawing.picture(self._live.map(px_per_mm), quick)
        hand = self._out()
        if not hand.exposures:
            rows, cols = max(8, round(hand.height_mm * px_per_mm)), max(8, round(hand.width_mm * px_per_mm))
            white = screen_values(np.array([quick.response.base_plus_fog]))[0]
            return np.full((rows, cols), white, dtype=np.uint8)
        record = self.record()
        received = expose(self._room.desk.negative, record, quick.response.stock, px_per_mm, self._lights)
        return quick.picture(received)

    def _quick_view(self) -> QuickView:
        now = self._room.desk.now
        key = (now.paper, now.development_time_s, now.temperature_c, now.sheets_before)
        kept = self._quick.pop(key, None)
        if kept is None:
            response = Response(self._room.stock(now.paper), self._room.desk.base_record().development)
            kept = QuickView(response, screen_values)
        self._quick[key] = kept
        while len(self._quick) > 2:
            self._quick.popitem(last=False)
        return kept

    def set_plan(self, exposures: Sequence[PlannedExposure]) -> None:
        """Write down what is to be given, cards in mm on the easel; nothing is exposed yet. Raises Refused."""
        try:
            plan = tuple(item.exposure() for item in exposures)
        except Refused as error:
            raise Refused(str(error)) from error
        if len(plan) > MAX_EXPOSURES:
            raise Refused(f"a sheet takes at most {MAX_EXPOSURES} exposures, got {len(plan)}")
        self._room.keep(plan=plan, plan_done=0)

    @property
    def plan(self) -> tuple[PlannedExposure, ...]:
        """What is to be given."""
        return tuple(planned(exposure) for exposure in self._room.kept.plan)

    def plan_like(self, sheet_number: int) -> None:
        """Plan the exposures of a sheet of this evening once more."""
        self.set_plan([planned(e) for e in self._room.wall.record(sheet_number).exposures])

    def expose_next_of_plan(self) -> bool:
        """Give the next exposure of the plan; False when all are given."""
        kept = self._room.kept
        if kept.plan_done >= len(kept.plan):
            return False
        hand, wanted = self._not_exposing(), kept.plan[kept.plan_done]
        self._ready(None)
        for name, differs in (("cards", bool(wanted.cards)), ("f_number", wanted.f_number != self._room.desk.now.f_number)):
            if differs:
                self._refuse_locked(name)
        cards = tuple(card.placed(1.0, -hand.at_mm[0], -hand.at_mm[1]) for card in wanted.cards)
        given = replace(wanted, cards=(*self._cover_card(), *cards), paper_shift_mm=hand.moved_mm)
        self._add([given])
        self._room.keep(plan_done=kept.plan_done + 1)
        return True

    def expose_plan(self) -> None:
        """Give all that is left of the plan."""
        while self.expose_next_of_plan():
            pass

    def bars(self) -> tuple[PlanBar, ...]:
        """Return what was given and what is planned, as bars."""
        hand, kept, desk = self._hand, self._room.kept, self._room.desk
        done = hand.exposures if hand else ()
        all_of_them = (*done, *kept.plan[kept.plan_done :])
        if not all_of_them:
            return ()
        sheet = self._record_with(all_of_them).sheet if hand else desk.now.record().sheet
        key = (all_of_them, len(done), sheet, desk.now.settings())
        if self._bars is None or self._bars[0] != key:
            self._bars = (key, bars(all_of_them, len(done), sheet, desk.bench))
        return self._bars[1]

    def exposed_share(self, size_px: tuple[int, int], exposure: int) -> NDArray[np.float32]:
        """Return the share of an exposure's time that every point of the piece was lit, as the engine has it [row, col]."""
        record = self.record()
        if not 0 <= exposure < len(record.exposures):
            raise Refused(f"exposure must be 0 to {len(record.exposures) - 1}, got {exposure!r}")
        chosen, bench, sheet = record.exposures[exposure], self._room.desk.bench, record.sheet
        grid = sheet_grid(
            self._room.desk.negative, bench, sheet.width_mm, sheet.height_mm, sheet.border_mm, sheet.image_shift_mm,
            self._px_per_mm(size_px),
        )  # fmt: skip
        optics = CardOptics(bench.lens_to_paper_mm, bench.lens.focal_mm / checked_aperture(bench.lens, chosen.f_number))
        dx, dy = chosen.paper_shift_mm
        lit = lit_share(tuple(c.placed(1.0, -dx, -dy) for c in chosen.cards), grid, optics, chosen.time_s)
        return np.ones((grid.rows, grid.cols), dtype=np.float32) if lit is None else lit
