"""A place printed on a piece of the sheet around it is that place of the whole sheet; so is what the solver remembers of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.place_model import PlaceModel
from sim.printing.place_print import PlacePrint
from sim.printing.record import Card, Circling, Path, PrintingRecord, Still, Sweeping
from sim.viewing.densitometer import read_place

from .small import LAW, STOCKS, filters, negative, scenes, shot, stocks, straight

STATED = 0.0015  # density: the solver's memory against the print
PIECE = 0.0005  # a piece against the sheet: 0.0003 found, in the midst of clear film
FINE = 24  # pixels to a patch: enough that a piece is a piece
PLACES = (Place("left", 0.2, 0.3), Place("middle", 0.5, 0.55), Place("edge", 0.875, 0.25, 6.0))

stains = st.sampled_from((0.0, 0.0, 0.15, 0.3))
points = st.tuples(st.floats(20.0, 130.0), st.floats(20.0, 100.0))


@st.composite
def motions(draw):
    """Return how a card is held or moved."""
    (x, y), (x2, y2) = draw(points), draw(points)
    amplitude_mm, period_s = draw(st.floats(2.0, 20.0)), draw(st.floats(0.5, 3.0))
    return draw(st.sampled_from((
        Still(x, y), Circling(x, y, amplitude_mm, period_s), Sweeping(x, y, amplitude_mm, period_s, 30.0),
        Path(((0.0, x, y), (0.9, x2, y2))),
    )))  # fmt: skip


@st.composite
def cards(draw):
    """Return a dodging or burning tool somewhere over the sheet."""
    return Card(
        draw(st.sampled_from(("disc", "oval", "bar", "edge"))), draw(motions()), draw(st.floats(40.0, 200.0)),
        draw(st.floats(10.0, 60.0)), draw(st.floats(10.0, 60.0)), draw(st.floats(0.0, 180.0)),
        lets_through=draw(st.sampled_from(("outside", "inside"))), stop_s=draw(st.sampled_from((0.0, 0.6))),
    )  # fmt: skip


@st.composite
def exposures(draw):
    """Return one to three exposures: filters, apertures, cards, a moved paper, a flash."""
    made = []
    for _ in range(draw(st.integers(1, 2))):
        tools = tuple(draw(st.lists(cards(), max_size=2)))
        made.append(shot(draw(st.floats(1.0, 20.0)), draw(filters), draw(st.sampled_from((5.6, 8.0))), cards=tools))
    if draw(st.booleans()):
        made[0] = replace(made[0], paper_shift_mm=(draw(st.floats(-9.0, 9.0)), draw(st.floats(-9.0, 9.0))))
    if draw(st.integers(0, 3)) == 0:
        made.append(shot(1.0, None, 8.0, through="open", dimmed_stops=draw(st.floats(4.0, 9.0))))
    return made


@st.composite
def records(draw):
    """Return a record with all that may act on a sheet."""
    plain = straight(draw(stocks), draw(st.sampled_from(("diffusion-small", "condenser-small"))))
    developed = Development(plain.development.time_s * draw(st.sampled_from((1.0, 0.6))))
    lamp = Safelight("amber", 1.2, 300.0) if draw(st.integers(0, 3)) == 0 else None
    sheet = replace(plain.sheet, border_mm=draw(st.sampled_from((0.0, 6.0))))
    record = replace(plain, sheet=sheet, development=developed, safelight=lamp, reciprocity=draw(st.booleans()))
    return record.with_exposures(*draw(exposures()))


@st.composite
def films(draw):
    """Return a negative of even patches, neutral or stained."""
    scene = draw(scenes)
    return negative(np.kron(scene, np.ones((FINE, FINE), dtype=np.float32)), draw(stains))


def readings(film: Negative, record: PrintingRecord) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return what places read on the whole sheet, on pieces of it, and in the solver's memory."""
    stock, lights = STOCKS[record.sheet.paper], LightCache()
    whole = make_print(film, record, stock)
    pieces = PlacePrint(film, record, stock, LightCache()).readings(*PLACES)
    return np.array([read_place(whole, p) for p in PLACES]), pieces, PlaceModel(film, record, stock, PLACES, lights).readings()


@settings(LAW, max_examples=60)
@given(films(), records())
def test_a_piece_of_the_sheet_reads_as_the_sheet_does_and_the_solver_within_what_it_states(film, record) -> None:
    whole, pieces, remembered = readings(film, record)
    assert pieces == pytest.approx(whole, abs=PIECE)
    assert remembered == pytest.approx(whole, abs=STATED)
