"""The corners of one's own easel, read on a bare grey sheet, are as dark in prints, places and pictures as they were read."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sim.calibration.empty_gate import empty_gate_bench
from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_enlarger import OwnEnlarger, Patch, enlarger_of_patches
from sim.calibration.own_head_file import head_data, head_toml
from sim.calibration.patches_csv import read_patches
from sim.enlarger.equipment import Head, find_head
from sim.enlarger.fall_off import light_by_radius
from sim.enlarger.filters import FilterSetting
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import set_up
from sim.enlarger.spectra import per_lux
from sim.negative.develop import find_negative
from sim.negative.negative import Place
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.printing.setup import usual_setup
from sim.quantities import FloatArray
from sim.reading import OutsideError
from sim.refusals import Refused
from sim.shelf import HEAD, Shelf

PAPER, BEGUN_FROM = find_stock("glossy-rc-vc"), find_head("diffusion-small")
HEIGHT_MM, OFF_MM, HEADS_SHARE = 620.0, 150.0, 0.06  # log10 that the head itself lacks 150 mm from the middle
STOP = float(np.log10(2.0))


def _read(seconds: float, off_mm: float = 0.0, row: int = 2) -> Patch:
    """Return a patch as it would be read, worked out from light alone."""
    bench = empty_gate_bench(BEGUN_FROM.name, "80-mm", HEIGHT_MM)
    projecting = replace(bench, settings=replace(bench.settings, contact=False))
    lens = float(np.log10(light_by_radius(projecting, np.array([off_mm]), 8.0)[0])) if off_mm else 0.0
    log_h = np.log10(open_gate_lux(bench, 8.0) * expected_light_s(seconds, BEGUN_FROM)) + lens
    log_h -= HEADS_SHARE * (off_mm / OFF_MM) ** 2
    light = per_lux(BEGUN_FROM.lamp) * FilterSetting.named("2").densities().transmittance()
    curve = curve_in_light(PAPER, *PAPER.emulsion.exposures(light))
    wedge = round(float(log_h - np.interp(0.8, curve.density, curve.log_exposure)), 2)
    density = float(np.interp(log_h - wedge, curve.log_exposure, curve.density))
    return Patch(HEIGHT_MM, 8.0, "2", seconds, round(density, 2), 1, wedge, off_mm > 0.0, row, off_mm)


@cache
def found() -> OwnEnlarger:
    return enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, (_read(10.0), _read(12.0, OFF_MM, 3), _read(12.0, 0.6 * OFF_MM, 4)))


def _on_shelf(tmp_path: Path) -> Head:
    folder = tmp_path / HEAD.folder
    folder.mkdir()
    text = head_toml(head_data(BEGUN_FROM, found(), "mine", "My own", "own readings, undated"), "mine")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    return find_head("own:mine", Shelf(own=tmp_path))


def test_what_the_lens_does_not_explain_is_the_heads() -> None:
    light = found().light
    assert light.uneven == pytest.approx(HEADS_SHARE, abs=0.012)
    assert light.uneven_mm == pytest.approx(OFF_MM / light.reference_magnification, rel=0.01)
    assert light.corner_stops is not None
    assert light.corner_stops > light.uneven / STOP + 0.05


def test_a_place_in_the_corner_prints_as_the_corner_was_read(tmp_path: Path) -> None:
    negative = find_negative("step-wedge")
    record = usual_setup(negative, PAPER, time_s=12.0)
    bench, own = set_up(record.enlarger, negative), _on_shelf(tmp_path)
    assert own.own is not None
    plain = replace(own, own=replace(own.own, uneven=0.0, uneven_mm=None))
    where = Place("corner", 0.25, 0.25), Place("middle", 0.5, 0.5)

    def lit(head: Head) -> FloatArray:
        model = PlaceModel(negative, record, PAPER, where, LightCache(), bench=replace(bench, head=head))
        return np.log10(model.light(0))

    less = lit(own) - lit(plain)
    off_mm = np.hypot(*(0.25 * side for side in negative.frame_mm))
    assert less[0] == pytest.approx(-own.own.uneven * (off_mm / own.own.uneven_mm) ** 2, rel=0.05)
    assert less[1] == pytest.approx(0.0, abs=0.001)


def test_beyond_one_and_a_half_times_the_distance_read_the_light_falls_no_further() -> None:
    own, far_mm = found().light, found().light.uneven_mm
    assert far_mm is not None
    inside, at, beyond = np.log10(own.evenness(np.array([1.45, 1.5, 1.6]) * far_mm))
    assert inside > at == pytest.approx(beyond)


def test_a_corner_without_its_distance_is_told_and_left_out_of_prints() -> None:
    silent = enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, (_read(10.0), replace(_read(12.0, OFF_MM, 3), off_mm=0.0)))
    assert silent.light.corner_stops == pytest.approx(found().light.corner_stops, abs=0.08)
    assert silent.light.uneven_mm is None


def test_corners_of_which_only_some_say_how_far_out_they_lay_are_refused_by_row() -> None:
    patches = _read(10.0), _read(12.0, OFF_MM, 3), replace(_read(12.0, OFF_MM, 4), off_mm=0.0)
    with pytest.raises(Refused, match="line 4: off_mm"):
        enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, patches)


@pytest.mark.parametrize(("row", "said"), [("620,8,2,10,0.7,corner,150", ""), ("620,8,2,10,0.7,corner,4", "off_mm must be"),
                                           ("620,8,2,10,0.7,centre,150", "where = corner only")])  # fmt: skip
def test_the_table_says_how_far_out_a_corner_lay(tmp_path: Path, row: str, said: str) -> None:
    file = tmp_path / "patches.csv"
    file.write_text(f"height_mm,f_number,filter,seconds,density,where,off_mm\n{row}\n", encoding="utf-8")
    if not said:
        assert read_patches(file)[0].off_mm == 150.0
        return
    with pytest.raises(OutsideError, match=said):
        read_patches(file)
