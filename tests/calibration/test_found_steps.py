"""Steps of a scan found by themselves: right, or refused; a comb one step off would be worse than none.

TONEWRIGHT_SCANS=100 draws so many; a few in continuous testing.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from night import turns

from sim.calibration.flatbed_strips import GreyScale, Patchwork, readings_of_scan
from sim.calibration.found_steps import found_rows
from sim.calibration.readings_csv import Wedge
from sim.calibration.wedge_strips import PaperReadings
from sim.command.flatbed_options import scanned_readings
from sim.refusals import Refused
from sim.writing import write_png

from .scans_made import SCALE, Laid, scanned, strip_densities

LARGE = turns("TONEWRIGHT_SCANS", 0, 100)
SHAPE = (760, 1000)
NAMES, STEPS = ("the grey scale", "strip 00", "strip 5"), (20, 21, 21)
WEDGE = tuple(0.05 + 0.15 * k for k in range(21))


def laid(rng: np.random.Generator, lean_deg: float = 3.0, own_deg: float = 1.0) -> list[Laid]:
    """Return a scale and two strips, leaning together and each a little more, the strips with a black rim of paper or none."""
    lean, rims = rng.uniform(-lean_deg, lean_deg), ((0.0, 0.0), (30.0, 12.0), (50.0, 8.0))
    soft, hard = strip_densities(21, rng.uniform(0.9, 1.4), 0.30), strip_densities(21, rng.uniform(0.9, 1.4), 0.12)
    found = []
    for k, densities in enumerate((tuple(SCALE), soft, hard)):
        turned = densities[::-1] if rng.uniform() < 0.5 else densities
        middle = (500.0 + rng.uniform(-20, 20), 130.0 + 250.0 * k)
        rim = rims[int(rng.integers(3))] if k else (0.0, 0.0)
        found.append(Laid(turned, middle, (760.0, 90.0), lean + rng.uniform(-own_deg, own_deg), rim))
    return found


def ends(row: Laid) -> np.ndarray:
    """Return where the first and the last step end, px."""
    lean, half = np.radians(row.leans_deg), row.size[0] / 2
    way = np.array([np.cos(lean), np.sin(lean)])
    return np.array([np.array(row.middle) - half * way, np.array(row.middle) + half * way])


def found_ends(row: Patchwork) -> np.ndarray:
    corners = np.array(row.corners) * (np.array([SHAPE[1], SHAPE[0]]) - 1.0)
    return np.array([corners[[0, 3]].mean(axis=0), corners[[1, 2]].mean(axis=0)])


@cache
def tried() -> tuple[list[float], list[str]]:
    """Return by how many steps each row that was found is off at its ends, and what was refused."""
    off, refused = [], []
    for seed in range(LARGE or 6):
        rng = np.random.Generator(np.random.PCG64(seed))
        rows = laid(rng)
        picture = scanned(rows, SHAPE, noise=rng.uniform(0.0, 0.01), dust=int(rng.integers(0, 150)), rng=rng)
        try:
            found = found_rows(picture, NAMES, STEPS)
        except Refused as error:
            refused.append(str(error))
            continue
        for row, one in zip(rows, found, strict=True):
            off.append(float(np.abs(found_ends(one) - ends(row)).max()) / (row.size[0] / len(row.densities)))
    print(f"{len(off)} rows found, worst end off by {max(off):.2f} of a step; refused {len(refused)}: {set(refused)}")
    return off, refused


def test_rows_that_are_found_are_never_off_by_a_quarter_of_a_step() -> None:
    assert max(tried()[0]) < 0.25


def test_most_leaning_dusty_scans_are_found() -> None:
    off, refused = tried()
    assert len(refused) <= 0.1 * (len(off) / 3 + len(refused))


@cache
def one() -> tuple[list[Laid], np.ndarray]:
    rng = np.random.Generator(np.random.PCG64(40))
    rows = laid(rng)
    return rows, scanned(rows, SHAPE, noise=0.004, dust=40, rng=rng)


def test_what_is_read_in_found_steps_is_what_the_strips_are() -> None:
    rows, picture = one()
    scale, soft, hard = found_rows(picture, NAMES, STEPS)
    read = readings_of_scan(picture, GreyScale(scale, tuple(SCALE)), None, {"00": (soft, 1.0), "5": (hard, 1.0)}, WEDGE, True)
    for row, strip in zip(rows[1:], read.strips, strict=True):
        truth = row.densities if row.densities[0] > row.densities[-1] else row.densities[::-1]
        off = [abs(one.density - truth[one.step - 1]) for one in strip.readings if one.density is not None]
        assert np.sqrt(np.mean(np.square(off))) < 0.02
        assert len(off) >= 12


def test_upright_rows_are_found_from_left_to_right() -> None:
    _, picture = one()
    across, upright = found_rows(picture, NAMES, STEPS), found_rows(np.ascontiguousarray(picture.T), NAMES, STEPS)
    for a, b in zip(across, upright, strict=True):
        assert np.array(b.corners) == pytest.approx(np.array(a.corners)[:, ::-1], abs=1e-9)


def _refused(rows: list[Laid], steps: tuple[int, ...] = STEPS, behind: float = 2.3) -> str:
    with pytest.raises(Refused) as refusal:
        found_rows(scanned(rows, SHAPE, behind=behind), NAMES, steps)
    return str(refusal.value)


def test_rows_that_cannot_be_sure_are_refused() -> None:
    rows = laid(np.random.Generator(np.random.PCG64(41)), 0.0, 0.0)
    assert "must number 3 (the grey scale, strip 00, strip 5)" in _refused(rows[:2])
    assert "black paper behind" in _refused(rows, behind=0.0), "on a white lid a strip's white end does not show"
    assert "must have 10 steps" in _refused(rows, (10, 21, 21))
    bare = [replace(row, rim_px=(0.0, 0.0)) for row in rows]
    touching = [bare[0], replace(bare[1], middle=(500.0, 540.0)), bare[2]]
    assert "must number 3" in _refused(touching)
    even = replace(rows[1], densities=(0.06,) * 10 + (2.1,) * 11)
    assert "5 edges of steps or more" in _refused([rows[0], even, rows[2]])
    uneven = tuple(np.repeat(strip_densities(21, 1.2, 0.3), [1, 3, 2, 1, 4, 1, 1, 2, 5, 1, 3, 1, 1, 4, 1, 2, 1, 3, 1, 1, 2]))
    assert "strip 00 must have steps of one length" in _refused([rows[0], replace(rows[1], densities=uneven), rows[2]])


HARD = strip_densities(21, 1.2, 0.035)  # grade 5 under steps of 0.15: two tones between black and white


def test_a_strip_behind_grade_five_is_found_by_the_softer_one_beside_it() -> None:
    """Alone it shows too few edges; the same wedge under a soft filter says how long its steps are."""
    for seed in range(3):
        rng = np.random.Generator(np.random.PCG64(60 + seed))
        rows = laid(rng, 2.0, 0.5)
        rows[2] = replace(rows[2], densities=HARD if seed else HARD[::-1])
        picture = scanned(rows, SHAPE, noise=0.003, rng=rng)
        found = found_rows(picture, NAMES, STEPS, NAMES[1:])
        for row, one in zip(rows, found, strict=True):
            assert float(np.abs(found_ends(one) - ends(row)).max()) / (row.size[0] / len(row.densities)) < 0.25


def test_a_strip_behind_grade_five_alone_says_why_it_is_not_found() -> None:
    rows = laid(np.random.Generator(np.random.PCG64(63)), 0.0, 0.0)
    hard = [rows[0], replace(rows[1], densities=HARD), replace(rows[2], densities=HARD)]
    with pytest.raises(Refused, match="strip 00 must show 5 edges of steps or more, or 2 beside a softer"):
        found_rows(scanned(hard, SHAPE), NAMES, STEPS, NAMES[1:])
    with pytest.raises(Refused, match="strip 5 must show 5 edges of steps or more, or 2 beside a softer strip"):
        found_rows(scanned([*rows[:2], hard[2]], SHAPE), NAMES, STEPS)


def test_a_grey_scale_that_shows_few_edges_is_not_told_to_be_scanned_with_a_softer_strip() -> None:
    rows = laid(np.random.Generator(np.random.PCG64(43)), 0.0, 0.0)
    few = (0.05,) * 8 + (0.6,) * 4 + (1.2,) * 8
    said = _refused([replace(rows[0], densities=few), *rows[1:]])
    assert said.startswith("the grey scale must show 5 edges")
    assert "--" not in said, "a window shows it too: the command adds its own options"
    assert "softer" not in said


def test_a_strip_that_shows_one_edge_alone_is_refused_beside_a_softer_one_too() -> None:
    rows = laid(np.random.Generator(np.random.PCG64(65)), 0.0, 0.0)
    one_edge = replace(rows[2], densities=(2.16,) * 9 + (0.06,) * 12, rim_px=(50.0, 8.0))
    with pytest.raises(Refused, match="strip 5 must have steps as long as the softer strips"):
        found_rows(scanned([*rows[:2], one_edge], SHAPE), NAMES, STEPS, NAMES[1:])


def test_a_hard_strip_of_another_wedge_is_refused() -> None:
    rows = laid(np.random.Generator(np.random.PCG64(64)), 0.0, 0.0)
    other = replace(rows[2], densities=strip_densities(21, 1.2, 0.035), size=(500.0, 90.0), rim_px=(0.0, 0.0))
    with pytest.raises(Refused, match="strip 5 must have steps as long as the softer strips"):
        found_rows(scanned([*rows[:2], other], SHAPE), NAMES, STEPS, NAMES[1:])


def test_the_verb_names_the_rows_as_they_lie(tmp_path: Path) -> None:
    write_png(tmp_path / "scan.png", one()[1])
    (tmp_path / "s.csv").write_text("row,wedge,00,5\nseconds,,20,40\n")
    told = {"scan": str(tmp_path / "scan.png"), "grey": "20,0.05,0.1", "rows": "grey,00,5", "strip": [], "white": None}

    def read(**more: object) -> PaperReadings:
        options = argparse.Namespace(**{**told, **more})
        return scanned_readings(options, tmp_path / "s.csv", 2.0, Wedge.even(21, 0.05, 0.15))

    assert read().settings == ("00", "5")
    for more, rule in (
        ({"rows": "00,grey,5,2"}, "must number 4"), ({"rows": "grey,00,00"}, "once"), ({"rows": "grey,00,3"}, "settings with"),
        ({"strip": ["00=0,0,1,1"]}, "or both"), ({"rows": "00,5"}, "must name grey"),
    ):  # fmt: skip
        with pytest.raises(Refused, match=rule):
            read(**more)


def test_rows_that_lean_more_than_a_hand_lays_them_are_refused() -> None:
    rows = [replace(row, leans_deg=9.5) for row in laid(np.random.Generator(np.random.PCG64(42)), 0.0, 0.0)]
    assert "straight within 8 degrees" in _refused(rows)
    within = [replace(row, leans_deg=6.5) for row in rows]
    assert len(found_rows(scanned(within, SHAPE), NAMES, STEPS)) == 3
