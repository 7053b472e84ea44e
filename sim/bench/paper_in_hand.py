"""The paper in hand: out of the box, laid on the easel, exposed once or many times, under cards or step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from sim.bench.desk import Desk
from sim.bench.desk_file import DeskFile, InHand, sheets_left, with_more
from sim.bench.house_rules import HouseRules, locked
from sim.bench.lamp import Lamp
from sim.bench.piece import (
    Kind,
    Piece,
    laid_at,
    piece_of,
    record_of,
    record_so_far,
    sheet_of,
    sheet_out_of_the_box,
    strip_out_of_the_box,
    turned,
)
from sim.bench.strip_by_hand import DrawnStrip, LaidStrip, cover_card
from sim.bench.tools import CardPose
from sim.evening.evening import LEAST_PX_PER_MM, Evening, EveningEnded
from sim.notebook.exposure_plan import PlanBar, PlannedExposure, bars, planned
from sim.printing.flash import USUAL_DIMMED_STOPS as USUAL_DIMMED_STOPS
from sim.printing.record import FLASHES as FLASHES
from sim.printing.record import MAX_EXPOSURES, MAX_STRIP_STEPS, Card, Exposure, PrintingRecord, StripDecision, StripWay
from sim.printing.strip_agreement import disagreement
from sim.printing.strips import SAME_PLACE as SAME_PLACE
from sim.printing.strips import Step, Strip, lay_strip, strip_in
from sim.printing.strips import burn_times_s as burn_times_s
from sim.refusals import Refusal, Refused


class PaperInHand:
    """The one piece of paper that is out of the box and not yet in the developer."""

    def __init__(self, desk_file: DeskFile, desk: Desk, lamp: Lamp, evening: Evening, rules: HouseRules):
        self._desk_file, self._desk, self._lamp = desk_file, desk, lamp
        self._evening, self._rules = evening, rules
        self._bars: tuple[object, tuple[PlanBar, ...]] | None = None
        self._drawn: DrawnStrip | None = None  # a strip being covered under the lamp
        self._laid: LaidStrip | None = None  # a strip switched step by step
        self._of_plan = False  # what burns is the plan's next exposure
        self.steps_lost = False  # a step has had other light than it should: the piece is no strip any more

    @property
    def exposing(self) -> bool:
        """Tell whether the lamp is on over paper."""
        return self._lamp.on

    @property
    def _hand(self) -> InHand | None:
        return self._desk_file.now.hand

    def _out(self) -> InHand:
        if self._hand is None:
            raise Refused("there is no paper on the easel: take a sheet or a strip out of the box first")
        return self._hand

    def _still(self) -> InHand:
        """Return the piece while no light falls on it."""
        hand = self._out()
        if self._lamp.on:
            raise Refused("the lamp is on: wait until it is off")
        return hand

    def _keep(self, hand: InHand | None) -> None:
        self._desk_file.keep(hand=hand)

    @property
    def piece(self) -> Piece | None:
        """What lies on the easel, or None."""
        return piece_of(self._hand)

    @property
    def strip_steps(self) -> tuple[Step, ...]:
        """The steps of the strip in hand, places in mm on the strip."""
        if self._hand is None or not self._hand.exposures:
            return ()
        strip = strip_in(self.record())
        return strip.steps if strip else ()

    def prediction_wanted(self) -> str | None:
        """Return the question to be answered before the piece in hand is developed, or None."""
        hand = self._hand
        if hand is None or self._evening.state.predicted is not None:
            return None
        return self._rules.prediction_wanted(hand.kind == "strip")

    def take(self, kind: Kind, upright: bool = True, at_mm: tuple[float, float] | None = None) -> None:
        """Take a sheet, or a strip of a quarter sheet, out of the box and lay it on the easel.

        ``at_mm`` is the point of the easel under a strip's middle (default: the sheet's middle). Raises EveningEnded
        when the box is empty, Refused where light would fog it.
        """
        if kind not in ("sheet", "strip"):
            raise Refused(f"take a sheet or a strip, got {kind!r}")
        self._refuse_to_open_the_box()
        left = sheets_left(self._evening.state, self._desk_file.now)
        if left < (0.25 if kind == "strip" else 1.0):
            raise EveningEnded(f"the box must hold the paper asked for, got {left:g} sheets left")
        number, now = len(self._evening.state.sheets) + 1, self._desk.now
        if kind == "sheet":
            self._keep(sheet_out_of_the_box(number, now))
        else:
            self._keep(strip_out_of_the_box(number, now, self._desk.negative, upright, at_mm))
        self.steps_lost, self._laid = False, None  # steps that were meant for the piece before are not this one's

    def _refuse_to_open_the_box(self) -> None:
        kept, now = self._desk_file.now, self._desk.now
        if kept.hand is not None:
            raise Refused("there is paper on the easel already: develop it, or put it back")
        if kept.white_light:
            raise Refused("the white light is on: it would fog the whole box")
        if now.focus_light and not now.red_filter:
            raise Refused("the focusing light is on: switch it off, or swing the red filter in, before paper comes out")
        if kept.tray is not None and kept.tray.bath == "developer":
            raise Refused("a sheet is in the developer: see it through before the box is opened again")

    def place(self, x_mm: float, y_mm: float) -> None:
        """Lay the piece with its middle at a point of the easel; once exposed, it is moved under the same picture."""
        self._keep(laid_at(self._still(), x_mm, y_mm))

    def turn(self) -> None:
        """Turn a strip from lying along to lying across, about its middle, before its first exposure."""
        self._keep(turned(self._still(), self._desk.now, self._desk.negative))

    def cover(self, share: float | None, angle_deg: float = 0.0) -> None:
        """Lay cardboard over the first share of the piece along a direction (0 right, 90 down); None takes it off.

        So a strip is made step by step: expose, cover one step more, expose again.
        """
        hand = self._still()
        if share is not None and not 0.0 <= share <= 1.0:
            raise Refused(f"the covered share must be between 0 and 1, got {share!r}")
        self._keep(replace(hand, cover=None if share is None else (float(share), float(angle_deg))))

    def put_back(self) -> None:
        """Put an unexposed piece back into the box."""
        if self._still().exposures:
            raise Refused("it has had light and must not go back into the box: develop it, or throw it away")
        self._keep(None)

    def throw_away(self) -> None:
        """Throw the piece away: once it has had light, paper is used all the same, and the log says so."""
        hand = self._still()
        if hand.exposures:
            record = self.record()
            binned = replace(
                record, development=replace(record.development, time_s=0.0), note="thrown away, not developed"
            )  # fmt: skip
            self._evening.make(self._desk.negative, binned, LEAST_PX_PER_MM)
        self._desk_file.keep(hand=None, plan_done=0)  # the next sheet gets the whole plan

    def _record_with(self, exposures: Sequence[Exposure], strip: StripDecision | None = None) -> PrintingRecord:
        return record_of(self._out(), self._desk.now, self._desk.negative.digest, exposures, strip)

    def record(self) -> PrintingRecord:
        """Return the record of the piece as exposed so far. Raises Refused before the first exposure."""
        hand = self._out()
        if not hand.exposures:
            raise Refused("the paper has had no light yet")
        return record_so_far(hand, self._desk.now, self._desk.negative.digest)

    def expose(self, time_s: float | None = None, cards: Sequence[Card] = (), note: str = "") -> None:
        """Expose the piece at once, with cards by numbers (mm on the easel); durable when the call returns."""
        self._add([self._exposure(self._ready(time_s), cards, note)])

    def lay_strip(
        self, times_s: Sequence[float], way: Literal["bursts", "covered", "same-place"] = "covered", angle_deg: float = 0.0
    ) -> None:
        """Expose all steps of a strip in one go, over whole exposures the piece has had before. Raises Refused."""
        self._ready(None, "negative")
        hand = self._out()
        whole = tuple(e for e in hand.exposures if not (e.cards or e.step or any(e.paper_shift_mm)))
        if way in SAME_PLACE and hand.exposures:
            raise Refused(
                "the light given before shows the whole picture, and the slot would lay one place of it over every step: "
                "cover the strip step by step instead, or take a fresh one"
            )
        laid = self._laid_from_dials(tuple(float(t) for t in times_s), way, angle_deg, whole)
        if any(hand.moved_mm):
            raise Refused("lay the strip back where it was first exposed, then lay the steps over it")
        decision = laid.record.strip if len(whole) == len(hand.exposures) else None  # over another strip: no steps of one kind
        self._add(laid.record.exposures[len(whole) :], decision)

    def begin_exposure(self, time_s: float | None = None) -> None:
        """Switch the lamp on for the dialled time. From now on the paper's light is on disk, second by second."""
        self._switch_on(self._exposure(self._ready(time_s)))

    def _switch_on(self, exposure: Exposure) -> None:
        hand = self._out()
        self._check([replace(e, step=0) for e in (*hand.exposures, exposure)])
        self._lamp.switch_on(exposure, self._desk.card_optics(exposure.f_number), hand.at_mm)
        try:
            self._desk_file.keep(burning=self._lamp.given_so_far())
        except Refusal:
            self._lamp.switch_off()  # nothing has reached the paper yet
            raise

    def begin_next_of_plan(self) -> bool:
        """Switch the lamp on for the next exposure of the plan, with its filter, time and cards; False when all are given.

        Hands may hold cards in it besides, as in any exposure.
        """
        kept = self._desk_file.now
        if kept.plan_done >= len(kept.plan):
            return False
        self._switch_on(self._as_planned(kept.plan[kept.plan_done]))
        self._of_plan = True
        return True

    def _as_planned(self, wanted: Exposure) -> Exposure:
        """Return a planned exposure for the piece where it lies. Raises Refused where it may not be given."""
        self._ready(None, wanted.through)
        if wanted.cards:
            self._refuse_locked("cards")
        if wanted.f_number != self._desk.now.f_number:
            self._refuse_locked("f_number")
        return self._on_piece(wanted, wanted.cards)

    def begin_strip(self, count: int, time_s: float, angle_deg: float = 0.0) -> None:
        """Switch the lamp on over a strip that is covered step by step while it burns; see ``cover_next_step``.

        The direction is that in which the card is drawn on (0 right, 90 down). ``time_s`` is what the last step gets.
        """
        if not 2 <= count <= MAX_STRIP_STEPS:
            raise Refused(f"a strip must have 2 to {MAX_STRIP_STEPS} steps, got {count!r}")
        hand = self._fresh_strip("covering")
        self._ready(time_s, "negative")
        drawn = DrawnStrip(count, angle_deg)
        self._switch_on(replace(self._dialled(), time_s=round(time_s, 3), cards=(drawn.card(hand, self._desk.now.paper),)))
        self._drawn, self._laid = drawn, None

    def cover_next_step(self) -> float:
        """Draw the card on over one step more while the lamp burns; return the seconds that step has had."""
        if self._drawn is None or not self._lamp.on:
            raise Refused("no strip lies under the lamp to be covered")
        self._drawn = self._drawn.drawn_on(self._lamp.elapsed_s)
        self._lamp.stand(self._drawn.card(self._out(), self._desk.now.paper))
        self._desk_file.keep(burning=self._lamp.given_so_far())
        return self._drawn.moments_s[-1]

    def lay_in_steps(
        self, way: StripWay, times_s: Sequence[float], angle_deg: float = 0.0, over_s: float = 0.0, dimmed_stops: float = 0.0
    ) -> None:  # fmt: skip
        """Say how a fresh strip is laid, a switching for every step; every step gets ``over_s`` of the dialled light besides.

        ``begin_next_of_strip`` gives one after the other. Raises Refused.
        """
        if way in FLASHES:
            self._refuse_locked("flash")
        self._fresh_strip("laying one")
        each = (replace(self._dialled(), time_s=round(over_s, 3)),) if over_s > 0.0 else ()
        laid = self._laid_from_dials(tuple(times_s), way, angle_deg, each, dimmed_stops)
        assert laid.record.strip is not None
        self._laid = LaidStrip(laid.record.strip, laid.record.exposures)

    def _fresh_strip(self, way: str) -> InHand:
        """Return the strip in hand while nothing has been done to it. Raises Refused."""
        hand = self._still()
        if hand.kind != "strip" or hand.exposures or hand.cover is not None or any(hand.moved_mm):
            raise Refused(f"take a fresh strip: this way of {way} begins with paper that has had no light")
        return hand

    def _dialled(self) -> Exposure:
        """Return the whole exposure that time, aperture and filter are dialled for."""
        now = self._desk.now
        return Exposure(now.time_s, now.f_number, now.filtration)

    def _laid_from_dials(
        self, times_s: tuple[float, ...], way: StripWay, angle_deg: float, each: tuple[Exposure, ...] = (),
        dimmed_stops: float = 0.0,
    ) -> Strip:  # fmt: skip
        """Return a strip on the piece in hand in the light that is dialled. Raises Refused."""
        light = self._dialled()
        base = self._record_with((light,))
        return lay_strip(base, times_s, light.f_number, light.filter, way, angle_deg, each, None, dimmed_stops)

    def begin_next_of_strip(self, cards: Sequence[CardPose] = ()) -> float:
        """Switch the lamp on for the next step of the strip that is being laid; return its seconds.

        ``cards`` are in the hand: a burn goes past them, through a hole or over an edge. Raises Refused where they would
        keep its light from the place under the slot.
        """
        laid = self.strip_to_come
        if laid is None:
            raise Refused("every step of the strip has had its light: develop it")
        wanted, hand = laid.exposures[laid.given], self._out()
        self._ready(wanted.time_s, wanted.through)
        held = [] if laid.is_base else [one.card().placed(1.0, -hand.at_mm[0], -hand.at_mm[1]) for one in cards]
        if not laid.keeps_its_light(held, wanted.time_s):
            raise Refused("the card keeps the light from the place under the slot: hold its hole over it, its edge beside it")
        self._switch_on(wanted)
        return wanted.time_s

    @property
    def strip_to_come(self) -> LaidStrip | None:
        """The strip that is being laid step by step, or None; one cut short, or moved, is no longer to come."""
        laid, hand = self._laid, self._hand
        if laid is None or hand is None or laid.given >= len(laid.exposures):
            return None
        same = len(hand.exposures) == laid.given and not any(hand.moved_mm)
        return laid if same else None

    @property
    def slot_mm(self) -> tuple[float, float] | None:
        """The point of the easel under the slot of the strip that is being laid; None where there is no slot."""
        laid, hand = self.strip_to_come, self._hand
        at = laid.slot_mm if laid is not None else None
        return None if at is None or hand is None else (at[0] + hand.at_mm[0], at[1] + hand.at_mm[1])

    @property
    def hands_wait(self) -> bool:
        """Whether the light is the base exposure of a burn: cards are kept out of it until the burn."""
        return self.strip_to_come is not None and self.strip_to_come.is_base

    @property
    def being_covered(self) -> DrawnStrip | None:
        """The strip that is being covered under the lamp, or None."""
        return self._drawn

    @property
    def elapsed_s(self) -> float:
        """Seconds since the lamp went on."""
        return self._lamp.elapsed_s

    @property
    def left_s(self) -> float:
        """Seconds until the timer switches it off."""
        return self._lamp.left_s

    def advance(self, dt_s: float, cards: Sequence[CardPose] = ()) -> bool:
        """Let seconds pass with the cards where they are now; True while the lamp is on. At the end it is on record.

        In the base exposure of a burn no card is held: hands wait beside the light.
        """
        cards = () if self.hands_wait else cards
        if cards:
            self._refuse_locked("cards")
        before_s = int(self._lamp.elapsed_s)
        if self._lamp.burn(dt_s, cards):
            if int(self._lamp.elapsed_s) > before_s:
                self._desk_file.keep(burning=self._lamp.given_so_far())
            return True
        self.end()
        return False

    def end(self) -> None:
        """Switch the lamp off; what was given is on record. Less than a tenth of a second is a tenth."""
        elapsed_s, given = self._lamp.elapsed_s, self._lamp.switch_off()
        drawn, of_plan = self._drawn, self._of_plan
        self._drawn, self._of_plan = None, False
        if drawn is not None and drawn.whole:
            laid = self._laid_from_dials(drawn.times_s(elapsed_s), "covered", drawn.angle_deg)
            self._add(laid.record.exposures, laid.record.strip)
            return
        in_steps = self.strip_to_come
        if in_steps is not None and not of_plan:
            self._step_given(in_steps, given)
            return
        self._add([given])
        if of_plan:
            self._desk_file.keep(plan_done=self._desk_file.now.plan_done + 1)

    def _step_given(self, laid: LaidStrip, given: Exposure) -> None:
        """Keep a step of a strip; once all have had what they should, the piece is a strip."""
        as_meant, hand = laid.as_meant(given), self._out()
        after = replace(laid, given=laid.given + 1)
        self._laid, self.steps_lost = after if as_meant else None, not as_meant
        if not as_meant or after.given < len(after.exposures):
            self._add([given])
            return
        exposures = after.so_far((*hand.exposures, given))
        self._check(exposures, after.strip)
        if disagreement(self._record_with(exposures, after.strip)) is not None:  # a hand was in the way of another step
            self._laid, self.steps_lost = None, True
            self._add([given])
            return
        self._desk_file.keep(hand=replace(hand, exposures=exposures, strip=after.strip), burning=None)

    def _ready(self, time_s: float | None, through: Literal["negative", "open"] | None = None) -> float:
        """Return the time once everything allows an exposure; ``through`` None: as the opal sheet stands. Raises Refused."""
        hand, now = self._still(), self._desk.now
        if now.red_filter:
            raise Refused("the red filter is in the light: the paper would get nothing; swing it out to expose")
        if now.opal_sheet and through == "negative":
            raise Refused("the opal sheet is under the lens and would take the picture away; swing it aside to expose")
        flash = through == "open" or (through is None and now.opal_sheet)
        if hand.kind == "sheet" and flash:
            self._refuse_locked("flash")
        elif hand.kind == "sheet" and any(one.through == "negative" for one in hand.exposures):
            self._refuse_locked("exposures")  # a strip covered by hand is exposed once for every step
        time = now.time_s if time_s is None else time_s
        if abs(time - now.time_s) > 1e-9 and not hand.exposures and hand.kind == "sheet":
            self._refuse_locked("time_s")
        return time

    def _refuse_locked(self, name: str) -> None:
        why = locked(self._rules, name)
        if why is not None:
            raise Refused(why)

    def _exposure(self, time_s: float, cards: Sequence[Card] = (), note: str = "") -> Exposure:
        """Return an exposure from the dials, its cards in the piece's own coordinates."""
        if cards:
            self._refuse_locked("cards")
        bare = replace(self._dialled(), time_s=round(time_s, 3), note=note)
        if self._desk.now.opal_sheet:
            bare = replace(bare, through="open", dimmed_stops=USUAL_DIMMED_STOPS)
        return self._on_piece(bare, cards)

    def _on_piece(self, exposure: Exposure, cards: Sequence[Card]) -> Exposure:
        """Return an exposure of the piece where it lies: cardboard over it, cards (mm on the easel) in the light."""
        hand = self._out()
        placed = [card.placed(1.0, -hand.at_mm[0], -hand.at_mm[1]) for card in cards]
        covered = cover_card(hand, self._desk.now.paper)
        return replace(exposure, cards=(*covered, *placed), paper_shift_mm=hand.moved_mm)

    def _add(self, more: Sequence[Exposure], strip: StripDecision | None = None) -> None:
        hand = self._out()
        strip = strip or with_more(hand.strip, more)
        exposures = (*hand.exposures, *more)
        given = exposures if strip else tuple(replace(e, step=0) for e in exposures)
        self._check(given, strip)
        self._desk_file.keep(hand=replace(hand, exposures=given, strip=strip), burning=None)

    def _check(self, exposures: Sequence[Exposure], strip: StripDecision | None = None) -> None:
        """Refuse now, not when the sheet is developed: cards above the lens, apertures off the ring, what no record holds."""
        if len(exposures) > MAX_EXPOSURES:
            raise Refused(f"a sheet takes at most {MAX_EXPOSURES} exposures, got {len(exposures)}")
        optics = {f_number: self._desk.card_optics(f_number) for f_number in {e.f_number for e in exposures}}
        for exposure in exposures:
            for card in exposure.cards:
                optics[exposure.f_number].shadow_scale(card.card_height_mm)
        self._record_with(exposures, strip)

    def set_plan(self, exposures: Sequence[PlannedExposure]) -> None:
        """Write down what is to be given, cards in mm on the easel; nothing is exposed yet. Raises Refused."""
        plan = tuple(item.exposure() for item in exposures)
        if len(plan) > MAX_EXPOSURES:
            raise Refused(f"a sheet takes at most {MAX_EXPOSURES} exposures, got {len(plan)}")
        self._desk_file.keep(plan=plan, plan_done=0)

    @property
    def plan(self) -> tuple[PlannedExposure, ...]:
        """What is to be given."""
        return tuple(planned(exposure) for exposure in self._desk_file.now.plan)

    def bars(self) -> tuple[PlanBar, ...]:
        """Return what was given and what is planned, as bars."""
        kept, desk = self._desk_file.now, self._desk
        done = kept.hand.exposures if kept.hand else ()
        all_of_them = (*done, *kept.plan[kept.plan_done :])
        if not all_of_them:
            return ()
        sheet = sheet_of(kept.hand, desk.now) if kept.hand else desk.now.record().sheet
        key = (all_of_them, len(done), sheet, desk.now.settings())
        if self._bars is None or self._bars[0] != key:
            self._bars = (key, bars(all_of_them, len(done), sheet, desk.bench))
        return self._bars[1]
