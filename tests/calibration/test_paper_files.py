"""What the fit writes is what is shipped and what is read again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.calibration.paper_files import GLOSSY_FB, GRADED_FB, filters_toml, stock_toml
from sim.calibration.paper_fit import variable_remark
from sim.enlarger.filters import FilterDensities
from sim.paper.stock import STOCK_FOLDER, PaperError, find_stock, read_stock
from sim.reading import OutsideError

from .papers import fitted


def test_the_shipped_glossy_paper_is_what_the_fit_finds() -> None:
    found, shipped = fitted().grains.emulsion(GLOSSY_FB.sheet.image_density), find_stock(GLOSSY_FB.name).emulsion
    assert (shipped.curve_a, shipped.curve_b) == pytest.approx((found.curve_a, found.curve_b), rel=0.01)
    assert shipped.green_weights == pytest.approx(found.green_weights, abs=1e-3)
    assert shipped.image_density == pytest.approx(found.image_density, abs=1e-4)


@pytest.mark.parametrize("text", [GLOSSY_FB, GRADED_FB])
def test_a_stock_comes_back_as_it_was_written(text, tmp_path) -> None:
    shipped = find_stock(text.name)
    error = PaperError(0.034, 0.05)
    file = tmp_path / f"{text.name}.toml"
    file.write_text(stock_toml(text, shipped.emulsion, error, "Grains"), encoding="utf-8")
    assert read_stock(file) == replace(shipped, error=error)


def test_an_error_without_its_source_is_refused(tmp_path) -> None:
    text = stock_toml(GRADED_FB, find_stock(GRADED_FB.name).emulsion, PaperError(0.05), "Grains")
    file = tmp_path / "graded.toml"
    file.write_text(text.replace("along_curve = 0.050", "along_curve = 0.050\nworst = 0.1"), encoding="utf-8")
    with pytest.raises(OutsideError, match=r"error\.worst"):
        read_stock(file)


def test_grains_differ_in_one_sensitivity_only(tmp_path) -> None:
    emulsion = find_stock(GRADED_FB.name).emulsion
    text = stock_toml(GRADED_FB, emulsion, PaperError(0.05), "Grains")
    both = text.replace("blue_nodes", "green_nodes = [0.0]\ngreen_weights = [1.0]\nblue_nodes", 1)
    file = tmp_path / "graded.toml"
    file.write_text(both, encoding="utf-8")
    with pytest.raises(OutsideError, match="green_nodes and blue_nodes exclude each other"):
        read_stock(file)


def test_the_remark_beside_a_stock_says_its_grains() -> None:
    remark = variable_remark(fitted().grains)
    assert "without dye" in remark
    assert remark in (STOCK_FOLDER / f"{GLOSSY_FB.name}.toml").read_text(encoding="utf-8")


def test_filters_are_written_by_name() -> None:
    text = filters_toml({"00": FilterDensities(1.5, 0.0, 0.25)}, "somewhere")
    assert '{ name = "00", yellow = 1.5000, magenta = 0.0000, neutral = 0.2500 },' in text
