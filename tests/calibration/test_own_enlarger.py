"""An enlarger of one's own is found again from prints made with it, and its seconds are told with their interval."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sim.calibration.empty_gate import empty_gate_bench
from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_enlarger import (
    OwnEnlarger,
    Patch,
    enlarger_of_patches,
)
from sim.calibration.own_head_file import head_data, head_toml
from sim.calibration.print_scatter import nine_of_ten_within
from sim.calibration.right_print import enlarger_of_right_print, light_of_right_print
from sim.command.main import main
from sim.enlarger.equipment import Head, find_head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import set_up
from sim.enlarger.spectra import per_lux
from sim.negative.develop import find_negative
from sim.negative.negative import Negative, Place
from sim.notebook.own_seconds import own_seconds
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.shelf import HEAD, Shelf

PAPER = find_stock("glossy-rc-vc")
BEGUN_FROM = find_head("diffusion-small")
LEVEL, DEAD_S, COSTS_MORE, MARK_OFF, POWER, CORNER = -0.21, 0.34, -0.08, 0.05, 0.15, -0.10


def _density(p: Patch) -> float:
    """Return what a patch reads under an enlarger that is off by the numbers above, worked out from light alone."""
    bench = empty_gate_bench(BEGUN_FROM.name, "80-mm", p.height_mm)
    first = empty_gate_bench(BEGUN_FROM.name, "80-mm", 620.0).magnification
    log_h = np.log10(open_gate_lux(bench, p.f_number) * p.bursts * (p.seconds / p.bursts - DEAD_S)) - p.wedge + LEVEL
    log_h += POWER * np.log10((1.0 + bench.magnification) / (1.0 + first)) + (CORNER if p.corner else 0.0)
    log_h += (COSTS_MORE if p.filter == "4" else 0.0) + (MARK_OFF if p.f_number == 5.6 else 0.0)
    light = per_lux(BEGUN_FROM.lamp) * FilterSetting.named(p.filter).densities().transmittance()
    curve = curve_in_light(PAPER, *PAPER.emulsion.exposures(light))
    return float(np.interp(log_h, curve.log_exposure, curve.density))


@cache
def patches() -> tuple[Patch, ...]:
    """Return patches as they would be read, at exposures that give a middle grey."""
    rows = [(620.0, 8.0, "2", 10.0, 1, False), (620.0, 8.0, "2", 10.0, 10, False), (620.0, 8.0, "4", 14.0, 1, False),
            (620.0, 5.6, "2", 6.0, 1, False), (420.0, 8.0, "2", 6.0, 1, False), (620.0, 8.0, "2", 12.0, 1, True)]  # fmt: skip
    found = []
    for number, (height, mark, name, seconds, bursts, corner) in enumerate(rows, 2):
        plain = Patch(height, mark, name, seconds, 0.0, bursts, 0.0, corner, number)
        best = min((replace(plain, wedge=w) for w in np.arange(0.0, 3.0, 0.05)), key=lambda p: abs(_density(p) - 0.8))
        found.append(replace(best, density=round(_density(best), 2)))
    return tuple(found)


@cache
def found() -> OwnEnlarger:
    return enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, patches())


def test_level_marks_filters_height_dead_time_and_corners_are_found_again() -> None:
    light = found().light
    assert found().log_level == pytest.approx(LEVEL, abs=0.02)
    assert found().dead_time_s == pytest.approx(DEAD_S, abs=0.04)
    assert light.of_filter("4")[0] == pytest.approx(COSTS_MORE, abs=0.025)
    assert light.of_mark(5.6)[0] == pytest.approx(MARK_OFF, abs=0.025)
    assert light.power == pytest.approx(POWER, abs=0.12)
    assert light.corner_stops == pytest.approx(-CORNER / np.log10(2.0), abs=0.1)


def test_what_no_patch_tells_is_left_open_and_named() -> None:
    alone = enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, patches()[:1])
    assert alone.left_open == ("filters", "marks", "height", "dead time", "corners", "head")
    assert alone.dead_time_s is None


def test_a_patch_that_contradicts_the_others_is_refused_by_its_row() -> None:
    again = replace(patches()[0], density=patches()[0].density + 0.9, row=9)
    with pytest.raises(Refused, match=r"line [0-9]+ must go with the others"):
        enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, (*patches(), patches()[0], again))


def test_a_black_patch_tells_nothing_and_is_refused() -> None:
    with pytest.raises(Refused, match="line 2: density must be a middle grey"):
        enlarger_of_patches(BEGUN_FROM, "80-mm", PAPER, (replace(patches()[0], density=2.10),))


@cache
def _print() -> tuple[Negative, PrintingRecord, Place]:
    negative = find_negative("step-wedge")
    record = usual_setup(negative, PAPER, time_s=12.0)
    return negative, record, Place("grey", 0.5, 0.5)


def _found_from_print(head: Head, seconds: float) -> OwnEnlarger:
    negative, record, place = _print()
    exposure = replace(record.exposures[0], time_s=seconds)
    return enlarger_of_right_print(head, negative, record.with_exposures(exposure), PAPER, place, 0.5)


def _on_shelf(tmp_path: Path, head: Head, one: OwnEnlarger) -> Head:
    folder = tmp_path / HEAD.folder
    folder.mkdir(exist_ok=True)
    text = head_toml(head_data(head, one, "mine", "My own", "own readings, undated"), "mine")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    return find_head("own:mine", Shelf(own=tmp_path))


def test_one_print_that_was_right_gives_its_own_seconds_back(tmp_path: Path) -> None:
    negative, record, place = _print()
    own = _on_shelf(tmp_path, find_head(record.enlarger.head), _found_from_print(find_head(record.enlarger.head), 12.0))
    level = np.log10(own.gate_luminance_cd_m2 / find_head(record.enlarger.head).gate_luminance_cd_m2)
    assert level == pytest.approx(light_of_right_print(negative, record, PAPER, place, 0.5), abs=0.01)


@cache
def drawn(known: float) -> float:
    """Return where nine of ten lie of a million draws: a Student's t of 3.77 degrees and 0.1226, and a normal error besides."""
    rng = np.random.Generator(np.random.PCG64(5))
    off = 0.1226 * rng.standard_t(3.77, 1_000_000) + known * rng.standard_normal(1_000_000)
    return float(np.quantile(np.abs(off), 0.9))


def test_one_print_says_how_sure_its_seconds_are_behind_its_filter_and_another(tmp_path: Path) -> None:
    negative, record, _ = _print()
    begun = find_head(record.enlarger.head)
    bench = set_up(record.enlarger, negative)
    once = _on_shelf(tmp_path, begun, _found_from_print(begun, 12.0))
    first = own_seconds(record.exposures[0], replace(bench, head=once), PAPER)
    assert once.own is not None
    assert first is not None
    assert first.low_s < 12.0 < first.high_s
    assert np.log2(first.high_s / first.low_s) / 2 == pytest.approx(0.87, abs=0.02)  # 2.16 x 0.1226, in stops
    other = own_seconds(replace(record.exposures[0], filter=FilterSetting("5")), replace(bench, head=once), PAPER)
    assert other is not None
    # 0.060 of the filter besides, whose errors are normal; the scatter's are those of a Student's t
    more = np.log10(expected_light_s(other.high_s, once) / expected_light_s(12.0, once))
    assert more == pytest.approx(drawn(0.06), abs=0.004)
    assert np.log2(other.high_s / other.low_s) / np.log2(first.high_s / first.low_s) == pytest.approx(1.07, abs=0.02)
    assert own_seconds(record.exposures[0], bench, PAPER) is None


def test_behind_another_paper_the_interval_is_what_papers_of_unknown_speed_leave(tmp_path: Path) -> None:
    """0.10 of the other paper's speed besides the scatter: nine of ten lie within 0.31, 1.04 stop."""
    negative, record, _ = _print()
    begun = find_head(record.enlarger.head)
    bench = replace(set_up(record.enlarger, negative), head=_on_shelf(tmp_path, begun, _found_from_print(begun, 12.0)))
    unknown = replace(PAPER, name="another", uncertainty={})
    printed = own_seconds(record.exposures[0], bench, unknown)
    assert printed is not None
    low_s, middle_s, high_s = (expected_light_s(t, bench.head) for t in (printed.low_s, 12.0, printed.high_s))
    assert np.log10(high_s / middle_s) == pytest.approx(drawn(0.10), abs=0.006)
    assert np.log10(middle_s / low_s) == pytest.approx(drawn(0.10), abs=0.006)
    known = own_seconds(record.exposures[0], bench, replace(unknown, uncertainty={"emulsion.log_speed": 0.02}))
    assert known is not None
    assert np.log10(expected_light_s(known.high_s, bench.head) / middle_s) == pytest.approx(drawn(0.02), abs=0.006)


def test_evening_after_evening_is_added_said_and_a_print_that_stands_alone_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """12, 12, then 48 s: refused by name, nothing written; taken as it is the interval widens; forgotten, it is as before."""
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path)
    file = tmp_path / "shelf" / "heads" / "mine.toml"
    words = ["calibrate", "enlarger", "--name", "mine", "--negative", "racks-thin"]

    def fed(*more: str) -> tuple[int, str, str]:
        code, said = main([*words, *more]), capsys.readouterr()
        return code, said.out, said.err

    def within() -> float:
        light = find_head("own:mine", Shelf(own=tmp_path / "shelf")).own
        assert light is not None
        return nine_of_ten_within(*light.next_print("2", 8.0, light.reference_magnification))

    assert "own:mine is new" in fed("--right", "12")[1]
    once = within()
    kept = file.read_bytes()
    code, _, refused = fed("--right", "12")
    assert (code, file.read_bytes()) == (2, kept), "told twice it would make the interval narrower than one print does"
    assert "got print 1 again: 12 s at f/8" in refused
    assert "--as-it-is" in refused
    added = fed("--right", "12", "--read-on", "another evening")[1]
    assert "was on your shelf and is added to: now known from 2 prints that were right (before: 1)" in added
    twice, before = within(), file.read_bytes()
    code, _, refused = fed("--right", "48")
    assert (code, file.read_bytes()) == (2, before)
    assert "print 3 must go with the first two, got 2.0 stops more exposure than they ask for" in refused
    assert "another paper, aperture, developer?" in refused
    assert fed("--right", "48", "--as-it-is")[0] == 0
    assert twice < once < within()
    assert "kept, with a print fewer: now known from 2 prints" in fed("--forget", "3")[1]
    assert within() == pytest.approx(twice, rel=0.02)
    assert "--forget: the print to leave out must be one of the 2 prints" in fed("--forget", "3")[2]
    for coin in ("8,4", "4,4", "4,121", "4"):
        assert "--coin must be" in fed("--right", "12.5", "--coin", coin)[2]
    assert "exclude each other" in fed("--right", "12.5", "--coin", "4,8", "--safe-minutes", "4")[2]
    told = fed("--right", "12.5", "--coin", "4,8")[1]
    assert "no mark after 4 min, a mark after 8. Keep paper under it for half of the time without a mark, 2 min" in told
    known = file.read_bytes()
    code, _, refused = fed("--right", "12", "--head", "diffusion-sheet")
    assert (code, file.read_bytes()) == (2, known)
    assert "is known already, and --head diffusion-sheet would begin it anew" in refused
    assert "begun anew from" in fed("--right", "12", "--head", "diffusion-sheet", "--anew")[1]
    assert "begun anew from" in fed("--right", "12", "--anew")[1], "from the usual head"
    named = fed("--right", "12.5", "--head", "own:mine")[1]
    assert "is added to: now known from 2 prints" in named, "its own head said by name is no other head"
