"""Fits all papers and the graded filters and writes their data files: ``python -m sim.calibration.paper_fit`` (a minute)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import sim.enlarger.filters
from sim.calibration.curve_fit import (
    fit_filters,
    fit_fixed_grade,
    fit_variable_contrast,
    place_green,
    place_speed,
    read_family,
)
from sim.calibration.paper_files import GLOSSY_FB, GLOSSY_RC, GRADED_FB, MATT_FB, filters_toml, stock_toml
from sim.shelf import PAPER
from sim.writing import write_text


def write_paper_files() -> None:
    """Fit all stocks and the filters and write their data files."""
    family = read_family()
    aims = family.filters
    shape = fit_variable_contrast(family, GLOSSY_FB.sheet)
    rc = replace(shape, image_density=GLOSSY_RC.sheet.image_density)
    rc = place_green(rc, GLOSSY_RC.sheet, aims.temperature_k, aims.unfiltered_iso_range)
    rc = place_speed(rc, GLOSSY_RC.sheet, 500.0)
    fb = place_speed(place_green(shape, GLOSSY_FB.sheet, aims.temperature_k, 108.0), GLOSSY_FB.sheet, 400.0)
    graded = place_speed(fit_fixed_grade(GRADED_FB.sheet, 105.0, 2.4), GRADED_FB.sheet, 250.0)
    matt = place_speed(replace(fb, image_density=MATT_FB.sheet.image_density), MATT_FB.sheet, 400.0)
    for text, emulsion in ((GLOSSY_RC, rc), (GLOSSY_FB, fb), (MATT_FB, matt), (GRADED_FB, graded)):
        write_text(PAPER.file(PAPER.shipped, text.name), stock_toml(text, emulsion))
    source = "fitted to the ranges of paper_family.toml on the glossy RC paper under a 3200 K lamp"
    folder = Path(sim.enlarger.filters.__file__).parent
    write_text(folder / "filters.toml", filters_toml(fit_filters(rc, GLOSSY_RC.sheet, aims), source))


if __name__ == "__main__":
    write_paper_files()
