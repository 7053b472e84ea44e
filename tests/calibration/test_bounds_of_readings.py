"""Where what a reader typed is taken and where it is refused: just inside, just outside, by what is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from laws.secret_papers import GENERIC

from sim.calibration.contradictions import check_readings
from sim.calibration.drying import drying_of
from sim.calibration.flatbed_strips import GreyScale, Patchwork, ScanReader, reader_of, white_of
from sim.calibration.number_table import read_number_table
from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_enlarger import Patch, enlarger_of_patches
from sim.calibration.right_prints import known_from, nothing_known
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip
from sim.enlarger.equipment import find_head
from sim.enlarger.filament import emissivity
from sim.enlarger.filters import FilterSetting
from sim.enlarger.own_light import OwnLight, RightPrint
from sim.enlarger.spectra import per_lux
from sim.paper.developer import print_developer
from sim.paper.stock import find_stock
from sim.refusals import Refused

from .test_own_drying import read


def _strip(densities: list[float], setting: str = "00") -> Strip:
    steps = tuple(StepReading(k + 1, 0.05 + 0.15 * k, d) for k, d in enumerate(densities))
    return Strip(setting, 1.5, steps)


FULL = [2.10, 2.10, 2.00, 1.70, 1.20, 0.70, 0.35, 0.15, 0.07, 0.06]


def _checked(strip: Strip, unexposed: tuple[float, ...] = (0.06,)) -> None:
    check_readings(GENERIC, PaperReadings((strip, _strip(FULL, "5")), unexposed))


def _refused(strip: Strip, said: str, unexposed: tuple[float, ...] = (0.06,)) -> None:
    with pytest.raises(Refused, match=said):
        _checked(strip, unexposed)


def test_wet_readings_missed_by_little_are_taken_and_by_five_errors_refused() -> None:
    """Every other wet step lighter, the rest darker: 0.03 D is two errors of a pair, 0.075 five."""
    def jagged(by: float) -> PaperReadings:
        moved = (replace(one, density=one.density + by * (-1) ** k) for k, one in enumerate(read().wet))
        dry = {(s.setting, r.step): r.density or 0.0 for s in read().strips for r in s.readings}
        wet = tuple(replace(one, density=min(one.density, dry[one.setting, one.step] + 0.07)) for one in moved)
        return replace(read(), wet=wet)

    assert drying_of(GENERIC.stock, jagged(0.02)) is not None
    assert drying_of(GENERIC.stock, jagged(0.035)) is not None
    with pytest.raises(Refused, match="steps read wet must go with"):
        drying_of(GENERIC.stock, jagged(0.055))
    with pytest.raises(Refused, match="steps read wet must go with"):
        drying_of(GENERIC.stock, jagged(0.08))


def test_a_step_may_read_a_little_darker_than_one_with_more_light_and_no_more() -> None:
    up = [*FULL[:5], 1.30, *FULL[6:]]
    _checked(_strip(up))
    _refused(_strip([*FULL[:5], 1.36, *FULL[6:]]), "step 6 must not be darker than step 5")


def test_an_unexposed_sheet_may_vary_by_five_hundredths() -> None:
    _checked(_strip(FULL), (0.06, 0.105))
    _refused(_strip(FULL), "must read the same everywhere", (0.06, 0.12))


def test_a_strip_may_end_a_tenth_over_the_unexposed_sheet() -> None:
    def ending(at: float) -> Strip:
        return _strip([*FULL[:7], at, at])

    _checked(ending(0.15))
    _refused(ending(0.17), "must come down to the unexposed sheet")


def test_a_whole_strip_must_have_two_tones_between_black_and_white() -> None:
    black, white = [2.10] * 3, [0.06] * 4
    _checked(_strip([*black, 1.5, 0.6, *white]))
    _refused(_strip([*black, 1.2, *white]), "must have 2 steps or more between paper white and black, got 1")


def test_a_strip_that_does_not_end_must_have_three() -> None:
    _checked(_strip([2.10, 2.10, 1.7, 1.1, 0.6]))
    _refused(_strip([2.10, 2.10, 1.7, 1.1]), "must have 3 steps or more between paper white and black")


def test_an_instrument_at_its_end_shows_four_steps_alike_with_a_drop_behind() -> None:
    def flat(steps: int, behind: float) -> Strip:
        return _strip([1.9] * steps + [behind, 1.2, 0.7, 0.3, 0.1, 0.06])

    _checked(flat(3, 1.7))
    _checked(flat(4, 1.79))
    _refused(flat(4, 1.77), "has run full there")


PAPER, BEGUN = find_stock("glossy-rc-vc"), find_head("diffusion-small")


def _one_patch(density: float) -> None:
    enlarger_of_patches(BEGUN, "80-mm", PAPER, (Patch(620.0, 8.0, "2", 10.0, density),))


def _rising_by(slope: float) -> tuple[float, float]:
    """Return the densities at the paper's toe and shoulder where a log unit of light makes so much density."""
    light = per_lux(BEGUN.lamp) * FilterSetting.named("2").densities().transmittance()
    curve = curve_in_light(PAPER, *PAPER.emulsion.exposures(light))
    rises = np.gradient(curve.density, curve.log_exposure)
    middle = int(np.argmax(rises))
    toe = float(np.interp(slope, rises[1:middle], curve.density[1:middle]))
    return toe, float(np.interp(-slope, -rises[middle:-1], curve.density[middle:-1]))


def test_a_grey_tells_light_where_the_paper_still_answers_to_it() -> None:
    for taken, refused in zip(_rising_by(0.50), _rising_by(0.22), strict=True):
        _one_patch(taken)
        with pytest.raises(Refused, match="must be a middle grey"):
            _one_patch(refused)


def _two_patches(off: float) -> None:
    same = [Patch(620.0, 8.0, "2", 10.0, 0.8, row=k) for k in range(2, 8)]
    enlarger_of_patches(BEGUN, "80-mm", PAPER, (*same, Patch(620.0, 8.0, "2", 10.0, 0.8 + off, row=8)))


def test_a_patch_may_lie_a_tenth_from_its_like_and_not_a_fifth() -> None:
    _two_patches(0.10)
    with pytest.raises(Refused, match="line 8 must go with the others"):
        _two_patches(0.14)


def _level(log_light: float) -> float:
    one = RightPrint("2", 8.0, 4.0, log_light, 12.0)
    return float(known_from(nothing_known("glossy-rc-vc", one), (one,)).values[0])


def test_the_first_print_of_a_head_unlike_its_kind_is_believed_at_its_word() -> None:
    """Ten stops off: within a hundredth of a stop; so is one like its kind, and neither by more than prints are read."""
    assert _level(3.0) == pytest.approx(3.0, abs=0.003)
    assert 3.0 - _level(3.0) > 0.0008, "the kind still says a little: a head twenty stops off is a slip of the pencil"


def test_light_in_a_corner_falls_no_further_than_it_was_read() -> None:
    own = OwnLight("p", 0.1, "2", 8.0, 4.0, uneven=0.06, uneven_mm=20.0)
    at = -np.log10(own.evenness(np.array([20.0, 29.0, 31.0, 60.0]))) / 0.06
    assert at == pytest.approx([1.0, 2.1025, 2.25, 2.25], abs=0.001)


def _scale(steps: list[int], full: int = 65535) -> np.ndarray:
    picture = np.zeros((40, 100 * len(steps)), np.uint16)
    for k, value in enumerate(steps):
        picture[:, 100 * k : 100 * (k + 1)] = value
    return picture


def test_a_patch_may_run_full_at_one_pixel_in_twenty_five_and_not_in_fifteen() -> None:
    def read_scale(share: float) -> None:
        picture = _scale([50000, 30000, 15000, 5000])
        rng = np.random.Generator(np.random.PCG64(1))
        picture[:, :100][rng.uniform(size=(40, 100)) < share] = 65535
        whole = Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 4)
        reader_of(picture, GreyScale(whole, (0.1, 0.4, 0.8, 1.3)))

    read_scale(0.035)
    with pytest.raises(Refused, match="run full"):
        read_scale(0.07)


def test_white_paper_may_vary_under_the_glass_by_three_hundredths() -> None:
    reader = ScanReader(np.array([1000.0, 60000.0]), np.array([2.0, 0.0]))

    def along(by: float) -> tuple[float, ...]:
        per = 59000.0 / 2.0
        picture = _scale([round(60000 - per * (0.06 + by * k / 4)) for k in range(5)])
        return white_of(picture, reader, Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 5))

    assert max(along(0.027)) - min(along(0.027)) == pytest.approx(0.027, abs=0.001)
    with pytest.raises(Refused, match="did not lie flat"):
        along(0.035)


def test_a_value_past_the_scale_is_read_by_five_hundredths() -> None:
    reader = ScanReader(np.array([1000.0, 60000.0]), np.array([2.0, 0.0]))
    assert reader.density(60000.0 + 29500.0 * 0.045) == pytest.approx(-0.045)
    assert reader.density(60000.0 + 29500.0 * 0.055) is None


def test_a_step_of_the_scan_must_be_four_pixels_long() -> None:
    assert len(Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 10).patches(np.zeros((30, 42), np.uint16))) == 10
    with pytest.raises(Refused, match="4 px long and wide"):
        Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 10).patches(np.zeros((30, 39), np.uint16))


def test_a_table_may_be_sixty_four_thousand_bytes_long(tmp_path) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "t.csv"
    for count, taken in ((12_000, True), (13_500, False)):
        file.write_text("a,b\n" + "1,22\n" * count)
        if taken:
            assert len(read_number_table(file).lines) == count + 1
        else:
            with pytest.raises(Exception, match="bytes"):
                read_number_table(file)


def test_tungsten_gives_off_at_least_three_hundredths_however_cold() -> None:
    assert emissivity(np.array([1.0, 300.0])) == pytest.approx([0.03, 0.03], abs=0.006)


def test_a_tray_used_up_holds_the_silver_of_a_litre_and_a_billionth() -> None:
    """Beyond its last sheet the tray is dry: what was developed in it stays, ln 1e9 = 20.7 times a sheet's share."""
    developer = print_developer()
    each = developer.silver_mmol_sheet / (1e-3 * developer.carried_ml_sheet)
    assert developer.silver_mmol_l(1e6) == pytest.approx(20.72 * each, rel=0.02)
    assert developer.silver_mmol_l(1e7) == developer.silver_mmol_l(1e6)
