"""Scenes and records that the oracle and the product both print."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.printing.record import Card, Exposure, PrintingRecord, Sheet, Still

WEDGE_ROWS = 20


@cache
def scene(stain_share: float = 0.0) -> Negative:
    """Return 60 x 75 px: a crop of the shelf negative over a continuous wedge from clear to density 1.8, gamma 0.9."""
    whole = find_negative("morning-shelf").silver_density
    rows, cols = whole.shape
    crop = whole[rows // 3 : rows // 3 + 40, cols // 3 : cols // 3 + 75]
    wedge = np.linspace(0.0, 1.8, 75)
    silver = np.vstack([crop, np.broadcast_to(wedge, (WEDGE_ROWS, 75))]).astype(np.float32)
    return Negative("oracle-scene", silver, 0.27, (56.25, 45.0), stain_share=stain_share, gamma=0.9)


def record(
    paper: str = "glossy-rc-vc", head: str = "diffusion-small", lens: str = "80-mm", height_mm: float = 420.0,
    filters: tuple[str | None, ...] = ("2",), time_s: float = 16.0, f_number: float = 5.6, contact: bool = False,
    development_s: float | None = None,
) -> PrintingRecord:  # fmt: skip
    """Return a straight record on a 203 x 254 mm sheet lying wide."""
    time_to_completion = 60.0 if paper == "glossy-rc-vc" else 120.0
    return PrintingRecord(
        "oracle-scene",
        Sheet(paper, 254.0, 203.0, 6.0),
        EnlargerSettings(head, lens, height_mm, contact=contact),
        tuple(Exposure(time_s, f_number, FilterSetting(name)) for name in filters),
        Development(development_s if development_s is not None else time_to_completion),
    )


SHEET_HEAD = {"lens": "150-mm", "height_mm": 800.0}


def _at_voltage(base: PrintingRecord, share: float) -> PrintingRecord:
    return replace(base, enlarger=replace(base.enlarger, lamp_voltage_share=share))


def _with_card(base: PrintingRecord, start_s: float = 2.0, stop_s: float = 11.0) -> PrintingRecord:
    soft, hard = base.exposures
    card = Card("edge", Still(150.0, 90.0), 150.0, angle_deg=30.0, start_s=start_s, stop_s=stop_s)
    return base.with_exposures(soft, replace(hard, cards=(card,)))


def _with_flash(base: PrintingRecord, reciprocity: bool = False) -> PrintingRecord:
    flash = Exposure(4.0, 16.0, FilterSetting("00"), through="open", dimmed_stops=4.5)
    return replace(base.with_exposures(flash, *base.exposures), reciprocity=reciprocity)


CASES: dict[str, tuple[float, PrintingRecord, bool]] = {
    "one filter": (0.0, record(), False),
    "no filter": (0.0, record(filters=(None,), time_s=6.0), False),
    "softest filter": (0.0, record(filters=("00",)), False),
    "hardest filter": (0.0, record(filters=("5",), time_s=30.0), False),
    "stained": (0.35, record(filters=("3",), time_s=24.0), False),
    "split pair": (0.0, record(filters=("00", "5"), time_s=9.0), False),
    "split pair, card in the hard exposure": (0.0, _with_card(record(filters=("00", "5"), time_s=14.0)), False),
    "stained, split pair, card": (0.35, _with_card(record(filters=("00", "5"), time_s=20.0)), False),
    "condenser": (0.0, record(head="condenser-small", time_s=20.0), False),
    "condenser, printed for its thin places": (0.0, record(head="condenser-small", time_s=2.5), False),
    "condenser, lens wide open": (0.0, record(head="condenser-small", f_number=4.0, time_s=10.0), False),
    "condenser, stained": (0.25, record(head="condenser-small", time_s=22.0), False),
    "a short exposure": (0.0, record(head="diffusion-small", filters=("4",), time_s=1.2, f_number=4.0), False),
    "low mains": (0.0, _at_voltage(record(head="condenser-small", time_s=20.0), 0.9), False),
    "two seconds with a card": (0.0, _with_card(record(filters=("00", "5"), time_s=4.0, f_number=4.0), 0.5, 2.0), False),
    "pre-flash": (0.0, _with_flash(record()), False),
    "pre-flash with reciprocity failure": (0.0, _with_flash(record(), True), False),
    "red safelight too near": (0.0, replace(record(), safelight=Safelight("red", 0.5, 3600.0)), False),
    "amber safelight": (0.0, replace(record(), safelight=Safelight("amber", 1.2, 900.0)), False),
    "reciprocity failure": (0.0, replace(record(filters=("1", "4"), time_s=40.0, f_number=11.0), reciprocity=True), False),
    "pulled": (0.0, record(development_s=22.0), False),
    "cold": (0.0, replace(record(), development=Development(50.0, 15.0)), False),
    "strong, old, small bath": (0.0, replace(record(), development=Development(45.0, 20.0, 20.0, 1.5, 0.5, 9.0)), False),
    "warm, tired, long": (
        0.0,
        replace(record(paper="glossy-fb-vc"), development=Development(280.0, 24.0, 12.0)),
        False,
    ),
    "wet": (0.0, record(paper="glossy-fb-vc"), True),
    "contact": (
        0.0,
        replace(record(head="diffusion-sheet", **SHEET_HEAD, contact=True, f_number=8.0, time_s=12.0),
                sheet=Sheet("glossy-rc-vc", 90.0, 75.0)),
        False,
    ),
    "contact under a condenser, stained": (
        0.3,
        replace(record(head="condenser-small", height_mm=500.0, contact=True, f_number=16.0, time_s=14.0),
                sheet=Sheet("glossy-rc-vc", 90.0, 75.0)),
        False,
    ),
    "glossy fibre base": (0.0, record(paper="glossy-fb-vc", filters=("3.5",)), False),
    "matt fibre base": (0.0, record(paper="matt-fb-vc", filters=("1",)), False),
    "graded paper": (0.0, record(paper="graded-fb-2", filters=(None,), time_s=3.0), False),
    "graded paper, stained": (0.35, record(paper="graded-fb-2", filters=(None,), time_s=15.0), False),
    "blue and green diodes": (0.0, record(head="led-sheet", **SHEET_HEAD, time_s=30.0), False),
    "cold cathode": (0.0, record(head="cold-cathode-sheet", **SHEET_HEAD, time_s=30.0), False),
    "cold cathode, stained, dialled magenta": (
        0.35,
        record(head="cold-cathode-sheet", **SHEET_HEAD).with_exposures(
            Exposure(40.0, 8.0, FilterSetting(None, 0.0, 0.8)), Exposure(10.0, 5.6, FilterSetting(None, 0.6, 0.0))
        ),
        False,
    ),
}  # fmt: skip
