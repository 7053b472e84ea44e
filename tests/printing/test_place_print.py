"""Light projected on pieces of a sheet is the whole sheet's light: readings at places are those of the finished print."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.paper.stock import find_stock
from sim.printing.exposure import WORTH_IT, LightCache, laid_out
from sim.printing.place_model import PlaceModel
from sim.scoring.checking import negatives_of, read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.judged import judge, read_places
from sim.scoring.readings import on_sheet

STATED = 0.0015  # density
LESSONS = ("condenser-against-diffusion", "focus-and-best-aperture", "contact-print", "stained-film", "burning-a-sky")


@pytest.mark.parametrize("out_of_focus_mm", [0.0, 0.8])
@pytest.mark.parametrize("name", LESSONS)
def test_readings_at_places_are_those_of_the_print(name: str, out_of_focus_mm: float) -> None:
    folder, exercise = find_exercise(name)
    (negative,) = negatives_of(exercise)
    record = read_reference(folder)[0]
    record = replace(record, enlarger=replace(record.enlarger, focus_offset_mm=out_of_focus_mm))
    places = [place for place in read_places(exercise, negative, 0) if on_sheet(negative, record, place)]
    assert places
    quick, whole = (judge(exercise, (negative,), (record,), 0.0, only_places=only) for only in (True, False))
    read = [[one.judged_prints[0].readings.spot(place) for place in places] for one in (quick, whole)]
    assert np.abs(np.subtract(*read)).max() <= STATED


def test_a_piece_has_the_pixels_of_the_sheet() -> None:
    _, exercise = find_exercise("burning-a-sky")
    (negative,) = negatives_of(exercise)
    record = read_reference(find_exercise("burning-a-sky")[0])[0]
    _, grid = laid_out(negative, record)
    piece = grid.piece(slice(96, 160), slice(32, 80))
    assert (piece.rows, piece.cols) == (64, 48)
    assert np.allclose(piece.x_mm - piece.image_centre_mm[0], grid.x_mm[32:80] - grid.image_centre_mm[0], atol=1e-9)
    assert np.allclose(piece.y_mm - piece.image_centre_mm[1], grid.y_mm[96:160] - grid.image_centre_mm[1], atol=1e-9)


def test_under_the_blades_there_is_no_light() -> None:
    """A spot that the easel's blades cover reads paper white, although its piece of the picture has light."""
    folder, exercise = find_exercise("time-from-a-strip")
    (negative,) = negatives_of(exercise)
    record = read_reference(folder)[0]
    covered = replace(record, sheet=replace(record.sheet, border_mm=95.0))
    places = read_places(exercise, negative, 0)
    model = PlaceModel(negative, covered, find_stock(exercise.paper), places, LightCache())
    lit = model.readings() > model.response.base_plus_fog + 0.01
    assert not lit.all()
    assert WORTH_IT < 1.0
