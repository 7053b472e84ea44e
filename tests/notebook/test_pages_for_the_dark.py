"""Pages to take into the darkroom: black on white, A4 and Letter, type that is read under a safelight, cautions at the foot."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from sim.command.main import main
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.darkroom_page import MM_PER_POINT, DarkroomPage, save_page
from sim.notebook.enlarger_recipe_page import enlarger_recipe
from sim.notebook.printing_map import map_pages
from sim.notebook.proof import proof_of
from sim.notebook.proof_page import proof_page
from sim.notebook.times_page import times_page
from sim.notebook.wedge_recipe_page import wedge_recipe
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.record import PrintingRecord
from sim.printing.record_file import write_record
from sim.printing.setup import usual_setup

if TYPE_CHECKING:
    from matplotlib.figure import Figure

CAPITAL_SHARE = 0.729  # height of a capital over the type's size in the font that pages are set in (its own metrics)
PAPER = find_stock("glossy-rc-vc")
USUAL_MM, LARGE_MM = 2.3, 3.1  # capitals of the smallest type, read beforehand in white light
IN_THE_DARK_MM, LARGE_IN_THE_DARK_MM = 2.8, 3.8  # of what is read under the safelight


@cache
def record() -> PrintingRecord:
    made = usual_setup(find_negative("step-wedge"), PAPER, time_s=12.0)
    return burnt_in(held_back(made, 0, 60.0, 40.0, 30.0, 0.5), 0, 80.0, 60.0, 30.0, 0.7)


@cache
def pages(kind: str, size: str, large: bool) -> tuple[Figure, ...]:
    if kind == "map":
        return map_pages(record(), size, large)
    if kind == "proof":
        frame = Negative("even", np.full((40, 60), 0.8, np.float32), 0.6, (36.0, 24.0))
        return proof_page(proof_of((frame,), PAPER), "Proof", size, large)
    if kind == "times":
        return times_page([10.0, 16.0, 25.0, 40.0], Fraction(1, 3), None, size, large)
    return wedge_recipe(size, large) if kind == "recipe of a paper" else enlarger_recipe(size, large)


def texts(figure: Figure) -> list[Any]:
    """Return all that is written on a page, numbers along a picture's edge as well."""
    figure.canvas.draw()
    found = [text for axes in figure.axes for text in axes.texts]
    for axes in figure.axes:
        if axes.axison:
            found += [*axes.get_xticklabels(), *axes.get_yticklabels()]
    return [text for text in found if text.get_text()]


def capital_mm(text: Any) -> float:
    return float(text.get_fontsize()) * MM_PER_POINT * CAPITAL_SHARE


EVERY = [(kind, size, large) for kind in ("times", "recipe of a paper", "recipe of an enlarger", "map", "proof")
         for size, large in (("a4", False), ("letter", True), ("letter", False))
         if kind not in ("map", "proof") or (size == "letter") == large]  # fmt: skip


@pytest.mark.parametrize(("kind", "size", "large"), EVERY)
def test_a_page_is_black_on_white_large_enough_and_wholly_on_its_paper(kind: str, size: str, large: bool) -> None:
    for figure in pages(kind, size, large):
        assert tuple(figure.get_facecolor()[:3]) == (1.0, 1.0, 1.0)
        written = texts(figure)
        smallest = min(capital_mm(text) for text in written)
        print(f"{kind}, {size}, {'large' if large else 'usual'}: smallest capitals {smallest:.2f} mm")
        own = [text for text in figure.axes[0].texts if text.get_text()]
        assert smallest >= (LARGE_MM if large else USUAL_MM)
        assert {str(text.get_color()) for text in written} <= {"black", "k"}
        width, height = figure.canvas.get_width_height()
        for text in own:
            box = text.get_window_extent()
            assert box.x0 >= 0.0
            assert box.x1 <= 0.97 * width, text.get_text()
            assert box.y0 >= 0.0
            assert box.y1 <= height
        said = " ".join(text.get_text() for text in own)
        assert "wet hands off switches" in said
        assert figure.get_size_inches()[0] * 25.4 == pytest.approx({"a4": 210.0, "letter": 215.9}[size])


@pytest.mark.parametrize("large", [False, True])
def test_steps_of_a_map_are_read_under_the_safelight(large: bool) -> None:
    written = [text for page in pages("map", "letter" if large else "a4", large) for text in page.axes[0].texts]
    steps = [text for text in written if "mm above" in text.get_text() or text.get_text().strip() in ("12.0", "1a", "3.5")]
    assert len(steps) >= 3
    assert min(capital_mm(text) for text in steps) >= (LARGE_IN_THE_DARK_MM if large else IN_THE_DARK_MM)


def test_what_is_written_stops_above_the_line_over_the_cautions() -> None:
    for kind, size, large in EVERY:
        for figure in pages(kind, size, large):
            rule = float(figure.axes[0].lines[-1].get_ydata()[0])
            lines = [float(text.get_position()[1]) for text in figure.axes[0].texts if text.get_text()]
            assert max(y for y in lines if y < rule + 0.5) < rule - 0.5, (kind, size, large)


def test_what_does_not_fit_goes_on_overleaf_and_is_numbered(tmp_path: Path) -> None:
    page = DarkroomPage("letter", "Long")
    for _ in range(60):
        page.write("A line of the work.")
    made = page.finish()
    assert len(made) == 2
    assert "Long, page 2" in [text.get_text() for text in made[1].axes[0].texts]
    assert [file.name for file in save_page(made, tmp_path / "long.png")] == ["long.png", "long-page-2.png"]
    assert save_page(made, tmp_path / "long.pdf") == (tmp_path / "long.pdf",)
    assert (tmp_path / "long.pdf").read_bytes().count(b"/Type /Page ") == 2


def test_overleaf_a_map_has_its_columns_heads_and_says_how_it_is_drawn() -> None:
    made = record()
    for k in range(8):
        made = burnt_in(made, 0, 30.0 + 10.0 * k, 60.0, 30.0, 0.5)
    every = map_pages(made, "letter", True)
    said = [[text.get_text() for text in page.axes[0].texts] for page in every]
    assert len(said) > 1
    with_steps = [page for page in said if "1c" in page or "seconds" in page]
    assert all(page.count("aperture") == 1 for page in with_steps)
    assert len(with_steps) > 1
    for page in said:
        foot = " ".join(page)
        assert "broken: a hole" in foot
        assert "make a strip for the first exposure" in foot


def test_a_tables_headings_stand_on_every_page_it_takes() -> None:
    page = DarkroomPage("a4", "Many rows")
    page.table([(16.0, "stops"), (60.0, "seconds")], [[f"{n}", f"{2 * n}"] for n in range(60)])
    said = [[text.get_text() for text in one.axes[0].texts] for one in page.finish()]
    assert len(said) == 2
    assert all(one.count("seconds") == 1 for one in said)
    assert sum(one.count("59") for one in said) == 1


def test_the_page_of_the_enlarger_says_every_measurement_in_order_and_has_a_table_to_fill() -> None:
    said = " ".join(text.get_text() for page in enlarger_recipe() for text in page.axes[0].texts)
    at = [said.index(word) for word in ("level:", "lamp and timer:", "each other filter", "each other aperture", "law of size:",
                                        "corners:", "the head:", "safelight:")]  # fmt: skip
    assert at == sorted(at)
    from sim.calibration.patches_csv import MORE, NEEDED

    assert all(name in said for name in (*NEEDED, *MORE))
    assert "let a hot lamp house cool" in said


def test_the_verbs_write_letter_pages_in_large_type(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write_record(tmp_path / "r.json", record())
    assert main(["calibrate", "recipe", "enlarger", "--page", "letter", "--large"]) == 0
    assert (tmp_path / "enlarger-recipe.pdf").read_bytes()[:5] == b"%PDF-"
    assert main(["map", "r.json", "--page", "letter", "--large", "-o", "m.png"]) == 0
    assert (tmp_path / "m.png").exists()
    assert main(["times", "10", "--page", "letter", "--large", "-o", "t.pdf"]) == 0
