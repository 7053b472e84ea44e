"""A proof of a roll: every frame in contact with the paper, all at ONE time and filter, so that thin and dense show themselves.

The time is the least that makes clear film as black as the paper gets: what is lighter than that edge has silver on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.control_ranges import checked
from sim.enlarger.filters import FilterSetting
from sim.enlarger.light_given import stretched_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative, Place
from sim.paper.sensitometry import NET_IDMIN, SHARE_IDMAX
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.place_model import PlaceModel
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused

# As black as makes no difference: densities 2.0 and 2.1 are not usually told apart (a printers' supplier's advice).
SHARE_OF_BLACK = 0.97
MOST_FRAMES = 48
SHOWN_PX_PER_MM = 8.0
THIN_OR_DENSE_STOPS = 0.75  # of light through its middle tone, against the roll's: told as thin or dense
CLEAR = Place("clear-film", 0.5, 0.5, 2.0)


@dataclass(frozen=True, eq=False)
class ProofFrame:
    """One frame of the proof: its print, with as much rebate as the film has, and how it stands to the roll.

    ``stops_from_roll`` says by how many stops more light its middle tone passes than the roll's: + thin, - dense.
    ``white_share`` and ``black_share`` are shares of its picture without tone.
    """

    number: int
    negative: Negative
    sheet: Print
    stops_from_roll: float
    white_share: float
    black_share: float

    @property
    def stands_out(self) -> str:
        """Return "thin", "dense" or nothing."""
        if abs(self.stops_from_roll) < THIN_OR_DENSE_STOPS:
            return ""
        return "thin" if self.stops_from_roll > 0.0 else "dense"


@dataclass(frozen=True, eq=False)
class Proof:
    """A roll's proof: one record but for the negative, and all frames in order."""

    record: PrintingRecord
    stock: Stock
    frames: tuple[ProofFrame, ...]

    @property
    def time_s(self) -> float:
        """Seconds, the same for all frames."""
        return self.record.exposures[0].time_s


def proof_of(
    negatives: Sequence[Negative], stock: Stock, filter_name: str = "2", f_number: float = 8.0, head: str | None = None
) -> Proof:  # fmt: skip
    """Return the proof of a roll. Raises Refused for too many frames, or where no time makes clear film black."""
    if not 1 <= len(negatives) <= MOST_FRAMES:
        raise Refused(f"a proof sheet must hold 1 to {MOST_FRAMES} frames, got {len(negatives)}")
    filtration = FilterSetting.named(filter_name)
    thickest = max(negatives, key=lambda one: one.base_density)
    record = _contact(thickest, stock, filtration, f_number, head)
    time_s = least_black_time_s(thickest, record, stock)
    middles = [float(np.median(one.silver_density)) + one.base_density for one in negatives]
    roll = float(np.median(middles))
    frames = []
    for number, (negative, middle) in enumerate(zip(negatives, middles, strict=True), 1):
        own = _contact(negative, stock, filtration, f_number, head)
        own = own.with_exposures(replace(own.exposures[0], time_s=time_s))
        sheet = make_print(negative, own, stock, px_per_mm=min(SHOWN_PX_PER_MM, negative.px_per_mm))
        white, black = _without_tone(sheet)
        frames.append(ProofFrame(number, negative, sheet, (roll - middle) / float(np.log10(2.0)), white, black))
    return Proof(record.with_exposures(replace(record.exposures[0], time_s=time_s)), stock, tuple(frames))


def _contact(
    negative: Negative, stock: Stock, filtration: FilterSetting, f_number: float, head: str | None
) -> PrintingRecord:
    """Return a contact print of a frame on a piece that shows its rebate."""
    wide, high = (side + 2.0 * min(negative.rebate_mm, 3.0) for side in negative.frame_mm)
    record = usual_setup(
        negative, stock, max(wide, 20.0), max(high, 20.0), 0.0, 10.0, f_number, filtration, contact=True
    )
    return record if head is None else replace(record, enlarger=replace(record.enlarger, head=head))


def least_black_time_s(negative: Negative, record: PrintingRecord, stock: Stock) -> float:
    """Return the least time that makes clear film of a negative full black, in a record's light."""
    clear = replace(
        negative,
        silver_density=np.zeros((12, 12), np.float32),
        frame_mm=(24.0, 24.0),
        places=(),
        digest="",
        rms_granularity=0.0,
    )
    piece = replace(record, sheet=replace(record.sheet, width_mm=24.0, height_mm=24.0, border_mm=0.0))
    model = PlaceModel(clear, piece, stock, (CLEAR,), LightCache())
    wanted = model.response.base_plus_fog + SHARE_OF_BLACK * (model.response.black - model.response.base_plus_fog)
    stops = model.stops_to(wanted, -12.0, 8.0, within=1e-4)
    if stops is None:
        raise Refused(
            "clear film must be printed black in some time, got none that does it: open the lens, or another filter"
        )
    time_s = stretched_s(record.exposures[0].time_s, 2.0**stops, head_of(record.enlarger))
    return checked("time_s", round(time_s, 1))


def _without_tone(sheet: Print) -> tuple[float, float]:
    """Return which shares of the picture are paper white and full black."""
    left, top, width, height = sheet.frame_mm
    (r0, c0), (r1, c1) = sheet.at(left, top), sheet.at(left + width, top + height)
    net = sheet.density[r0:r1, c0:c1] - sheet.base_plus_fog
    full = sheet.black - sheet.base_plus_fog
    return float((net < NET_IDMIN).mean()), float((net > SHARE_IDMAX * full).mean())
