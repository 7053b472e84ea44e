"""Fits all papers and the graded filters and writes their data files: ``python -m sim.calibration.paper_fit`` (20 s)."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from pathlib import Path

import sim.enlarger.filters
from sim.calibration.curve_fit import curve_of, fit_fixed_grade, fit_variable_contrast, place_green, place_speed
from sim.calibration.filter_fit import fit_filters
from sim.calibration.grain_parts import DyedGrains
from sim.calibration.left_out import behind_lights, error_of, error_of_range, leave_each_out
from sim.calibration.paper_files import GLOSSY_FB, GLOSSY_RC, GRADED_FB, MATT_FB, StockText, filters_toml, stock_toml
from sim.calibration.readings import Family, read_family
from sim.paper.emulsion import Emulsion
from sim.paper.stock import PaperError
from sim.shelf import PAPER
from sim.writing import write_text

FB_UNFILTERED = 108.0  # assumption: a fibre-base paper prints hardly harder than the resin-coated one without a filter
RC_SPEED, FB_SPEED, GRADED_SPEED = 500.0, 400.0, 250.0  # ISO P without a filter, near makers' figures (from memory)


def variable_remark(grains: DyedGrains) -> str:
    """Return the seven numbers of variable-contrast grains in a line."""
    return (
        f"Grains: {grains.undyed:.3f} without dye; {grains.little:.3f} with little, {grains.little_at:+.3f} from much, "
        f"spread {grains.little_spread:.3f}; {grains.much:.3f} with much, spread {grains.much_spread:.3f}"
    )


def fitted_grains(family: Family) -> tuple[DyedGrains, PaperError]:
    """Return the grains of the family that was read, and the error of a curve nobody read; print both."""
    readings = family.readings
    fitted = fit_variable_contrast(readings, GLOSSY_FB.sheet)
    print(variable_remark(fitted.grains))
    left_out = leave_each_out(readings, GLOSSY_FB.sheet, fitted)
    for one in left_out:
        print(f"left out ISO R {one.iso_range:.0f}: rms {one.rms:.3f} D, worst {one.worst:.3f} D")
    return fitted.grains, error_of(left_out)


def _rc(family: Family, grains: DyedGrains, error: PaperError) -> tuple[Emulsion, PaperError]:
    sheet, aims = GLOSSY_RC.sheet, family.filters
    shape = place_green(grains.emulsion(sheet.image_density), sheet, aims.temperature_k, aims.unfiltered_iso_range)
    by_range = error_of_range(sheet, behind_lights(shape, sheet), aims.unfiltered_iso_range, aims.iso_range_error)
    return place_speed(shape, sheet, RC_SPEED), PaperError(round(math.hypot(error.along_curve, by_range), 3))


def _graded(family: Family, grains: DyedGrains) -> tuple[Emulsion, PaperError]:
    sheet, aims = GRADED_FB.sheet, family.fixed_grade
    emulsion = place_speed(fit_fixed_grade(sheet, aims.iso_range, grains), sheet, GRADED_SPEED)
    by_range = error_of_range(
        sheet,
        lambda r: curve_of(fit_fixed_grade(sheet, r, grains), sheet, 1.0, 0.0),
        aims.iso_range,
        aims.iso_range_error,
    )
    return emulsion, PaperError(round(by_range, 3))


def _write(text: StockText, emulsion: Emulsion, error: PaperError, remark: str) -> None:
    write_text(PAPER.file(PAPER.shipped, text.name), stock_toml(text, emulsion, error, remark))


def write_paper_files() -> None:
    """Fit all stocks and the filters and write their data files."""
    family = read_family()
    grains, error = fitted_grains(family)
    remark, aims = variable_remark(grains), family.filters
    rc, rc_error = _rc(family, grains, error)
    shape = grains.emulsion(GLOSSY_FB.sheet.image_density)
    fb = place_speed(place_green(shape, GLOSSY_FB.sheet, aims.temperature_k, FB_UNFILTERED), GLOSSY_FB.sheet, FB_SPEED)
    matt = place_speed(replace(fb, image_density=MATT_FB.sheet.image_density), MATT_FB.sheet, FB_SPEED)
    graded, graded_error = _graded(family, grains)
    _write(GLOSSY_RC, rc, rc_error, remark)
    _write(GLOSSY_FB, fb, error, remark)
    _write(MATT_FB, matt, error, remark)
    _write(GRADED_FB, graded, graded_error, "Grains without dye, their log speeds spread about one middle")
    source = "fitted to the ranges of paper_family.toml on the glossy RC paper under a 3200 K lamp"
    folder = Path(sim.enlarger.filters.__file__).parent
    write_text(folder / "filters.toml", filters_toml(fit_filters(rc, GLOSSY_RC.sheet, aims), source))


if __name__ == "__main__":
    began = time.perf_counter()
    write_paper_files()
    print(f"{time.perf_counter() - began:.0f} s")
