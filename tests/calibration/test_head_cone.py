"""Whether a head's light is directed is told by steps of a film wedge printed with it, and prints then are as hard as its."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sim.calibration.head_cone import Cone, cone_of
from sim.calibration.own_enlarger import OwnEnlarger, Patch, enlarger_of_patches
from sim.calibration.own_head_file import head_data, head_toml
from sim.calibration.patches_csv import read_patches
from sim.enlarger.equipment import Head, find_head
from sim.enlarger.film_light import scattering_of
from sim.enlarger.light_given import dialled_time_s, expected_light_s
from sim.enlarger.settings import Bench, set_up
from sim.negative.callier import Scattering, grain_exponent
from sim.negative.negative import Negative, Place
from sim.notebook.own_enlarger_words import told
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import Change, PlaceModel
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.reading import OutsideError
from sim.refusals import Refused
from sim.shelf import HEAD, Shelf

PAPER, MIDDLE = find_stock("glossy-rc-vc"), Place("grey", 0.5, 0.5)
STEPS = (0.0, 0.5, 0.9, 1.2, 1.5)
FIRST = Patch(600.0, 8.0, "2", 10.0, 0.75, 1, 1.0, row=2)  # a bare grey of the empty carrier: its level is of no account here


def _film(density: float) -> Negative:
    """Return a step of a film wedge that fills the gate alone."""
    return Negative("step", np.full((40, 60), density, np.float32), 0.6, (36.0, 24.0), rms_granularity=0.0)


@cache
def printed(head: str, half_angle_deg: float) -> tuple[tuple[Patch, ...], Scattering]:
    """Return steps as the whole engine prints them with a head, each at the seconds of a middle grey; what scatters there."""
    lamp, patches, scatter = replace(find_head(head), light_half_angle_deg=half_angle_deg), [], Scattering()
    for row, density in enumerate(STEPS, 3):
        negative = _film(density)
        record = usual_setup(negative, PAPER, time_s=10.0)
        record = replace(record, enlarger=replace(record.enlarger, head=head))
        bench = replace(set_up(record.enlarger, negative), head=lamp)
        seconds = round(_grey_at_s(negative, record, bench), 1)
        exposure = replace(record.exposures[0], time_s=seconds)
        model = PlaceModel(negative, record.with_exposures(exposure), PAPER, (MIDDLE,), LightCache(), bench=bench)
        read = round(float(model.readings()[0]), 2)
        patches.append(Patch(record.enlarger.height_mm, 8.0, "2", seconds, read, row=row, film=density))
        scatter = scattering_of(negative, bench, 8.0)
    return tuple(patches), scatter


def _grey_at_s(negative: Negative, record: PrintingRecord, bench: Bench) -> float:
    """Return the seconds that print a step as a middle grey."""
    model, stops = PlaceModel(negative, record, PAPER, (MIDDLE,), LightCache(), bench=bench), np.linspace(-7.0, 5.0, 25)
    read = [float(model.readings(Change(np.array([s])))[0]) for s in stops]
    return dialled_time_s(expected_light_s(10.0, bench.head) * 2.0 ** float(np.interp(0.75, read, stops)), bench.head)


def found(head: str, half_angle_deg: float) -> OwnEnlarger:
    return enlarger_of_patches(find_head("diffusion-small"), "50-mm", PAPER, (FIRST, *printed(head, half_angle_deg)[0]))


def cone(head: str, half_angle_deg: float) -> Cone:
    one = found(head, half_angle_deg).cone
    assert one is not None
    return one


@pytest.mark.parametrize(
    ("head", "half_angle_deg"), [("condenser-small", 12.0), ("condenser-small", 25.0), ("diffusion-small", 90.0)]
)
def test_the_quotient_of_the_head_is_found_again(head: str, half_angle_deg: float) -> None:
    one, true = cone(head, half_angle_deg), float(printed(head, half_angle_deg)[1].quotient(np.array([1.0]))[0])
    print(one, true)
    assert one.quotient == pytest.approx(true, abs=0.035)
    assert one.least - 0.005 <= true <= one.most + 0.005
    assert one.directed == (half_angle_deg < 90.0)
    if one.directed:
        assert one.half_angle_deg == pytest.approx(half_angle_deg, abs=0.3 * half_angle_deg)
        assert one.error_deg > 0.03 * half_angle_deg


def test_prints_with_the_head_found_are_as_hard_as_it_prints(tmp_path: Path) -> None:
    """From clear film to 1.5: the range on the paper's side within 0.04, which taking it for diffuse light misses by 0.3."""
    folder = tmp_path / HEAD.folder
    folder.mkdir()
    begun, one = find_head("diffusion-small"), found("condenser-small", 12.0)
    (folder / "mine.toml").write_text(head_toml(head_data(begun, one, "mine", "My own", "own readings, today"), "mine"))
    own = find_head("own:mine", Shelf(own=tmp_path))
    assert own.sources["light_half_angle_deg"] == "own readings, today: 5 steps of a film wedge beside a known one"
    ranges = [_range(head) for head in (own, replace(begun, light_half_angle_deg=12.0), begun)]
    assert ranges[0] == pytest.approx(ranges[1], abs=0.04)
    assert ranges[1] - ranges[2] > 0.3


def _range(head: Head) -> float:
    negative = _film(1.5)
    record = usual_setup(negative, PAPER)
    bench = replace(set_up(record.enlarger, negative), head=head)
    return float(scattering_of(negative, bench, 8.0).printing_density(np.array([1.5]))[0])


def test_it_is_said_in_words_and_what_no_film_step_tells_stays_open() -> None:
    directed = told(find_head("condenser-small"), found("condenser-small", 12.0))
    assert any("Head: directed light, as a condenser gives" in line for line in directed)
    diffuse = told(find_head("diffusion-small"), found("diffusion-small", 90.0))
    assert any("Head: diffusion, not told from it by 5 film steps" in line for line in diffuse)
    plain = enlarger_of_patches(find_head("diffusion-small"), "50-mm", PAPER, (FIRST,))
    assert plain.cone is None
    assert "head" in plain.left_open
    assert any("clear film and a dense film step" in line for line in told(find_head("diffusion-small"), plain))


def made(caught: float, densities: tuple[float, ...], off: float = 0.0) -> Cone:
    """Return the cone from steps read without an error, but that the last prints denser by ``off``."""
    scatter = Scattering(grain_exponent(0.64), caught)
    light = -scatter.printing_density(np.array(densities))
    light[-1] -= off
    steps = [replace(FIRST, film=density, row=k) for k, density in enumerate(densities, 2)]
    return cone_of(steps, light, np.full(len(densities), 0.015), 0.04, 0.64)


@pytest.mark.parametrize(("caught", "directed"), [(0.88, True), (0.99, False)])
def test_light_is_called_directed_where_it_is_told_from_diffuse_light(caught: float, directed: bool) -> None:
    assert made(caught, (0.0, *np.linspace(1.2, 1.8, 12))).directed == directed


def test_the_interval_is_that_of_readings_film_steps_and_development() -> None:
    """Five steps behind a condenser: 0.015 D of print, 0.02 of film, and a gamma known to 0.12."""
    one = made(0.4, (0.0, 0.5, 0.9, 1.2, 1.5))
    assert one.most - one.least == pytest.approx(0.062, abs=0.008)
    assert one.error_deg == pytest.approx(1.41, abs=0.12)


def test_a_step_that_no_head_prints_so_is_refused_by_its_row_and_one_within_a_readings_error_is_not() -> None:
    steps = (0.0, 0.4, 0.8, 1.0, 1.2, 1.4, 1.1)
    made(0.4, steps, 0.18)
    with pytest.raises(Refused, match=r"line 8: film 1\.10 must print as some head prints it"):
        made(0.4, steps, 0.25)


def test_steps_too_thin_or_without_clear_film_tell_nothing_and_are_refused() -> None:
    made(0.4, (0.0, 0.81))
    with pytest.raises(Refused, match=r"0\.8 or more above clear film"):
        made(0.4, (0.0, 0.79))
    with pytest.raises(Refused, match="row of clear film"):
        made(0.4, (0.5, 1.2))


def test_film_steps_printed_differently_are_refused_by_row() -> None:
    steps = printed("condenser-small", 12.0)[0]
    for other in (replace(steps[2], f_number=5.6), replace(steps[2], filter="3"), replace(steps[2], height_mm=500.0)):
        with pytest.raises(Refused, match="line 5: film steps must be printed at one height, aperture and filter"):
            enlarger_of_patches(find_head("diffusion-small"), "50-mm", PAPER, (FIRST, *steps[:2], other))
    with pytest.raises(Refused, match="with an empty carrier, got none"):
        enlarger_of_patches(find_head("diffusion-small"), "50-mm", PAPER, steps)


def test_the_table_says_which_film_step_lay_in_the_carrier(tmp_path: Path) -> None:
    file = tmp_path / "patches.csv"
    head = "height_mm,f_number,filter,seconds,density,where,film\n"
    file.write_text(f"{head}620,8,2,10,0.7,,\n620,8,2,12,0.7,,0\n620,8,2,90,0.7,,1.2\n")
    assert [one.film for one in read_patches(file)] == [None, 0.0, 1.2]
    in_a_corner, too_dense = "620,8,2,10,0.7,corner,1.2", "620,8,2,10,0.7,,4.1"
    for row, said in ((in_a_corner, "film must stand with where = centre"), (too_dense, "film must be")):
        file.write_text(f"{head}{row}\n")
        with pytest.raises(OutsideError, match=said):
            read_patches(file)


def test_steps_read_without_error_tell_the_head_that_printed_them() -> None:
    """The middle of the interval, at a film density of 1."""
    true = float(Scattering(grain_exponent(0.64), 0.4).quotient(np.array([1.0]))[0])
    assert made(0.4, (0.0, 0.5, 0.9, 1.2, 1.5)).quotient == pytest.approx(true, abs=0.007)
