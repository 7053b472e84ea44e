"""A file of a head written before the lamp had a cone and a filament is read as it would be written today."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.enlarger.equipment import EQUIPMENT_FILE, find_head, read_equipment
from sim.enlarger.light_given import dead_time_s, expected_light_s
from sim.reading import OutsideError
from sim.shelf import Shelf

OLDER = """format = 1
[head]
name = "loft"
title = "Head in the loft"
temperature_k = 2900.0
gate_luminance_cd_m2 = 26000.0
scatter_share = 0.4
gate_mm = [70.0, 70.0]
column_mm = [180.0, 1200.0]
dead_time_s = 0.14
repeatability_s = 0.05
popping_mm = 0.35
popping_time_s = 9.0
[head.sources]
temperature_k = "a"
gate_luminance_cd_m2 = "b"
scatter_share = "ranges that fit grade 2"
gate_mm = "c"
column_mm = "d"
dead_time_s = "by a stop watch"
repeatability_s = "f"
popping_mm = "g"
popping_time_s = "h"
"""


def loft(tmp_path: Path, text: str = OLDER):
    """Return the head of a file among one's own heads."""
    (tmp_path / "heads").mkdir(exist_ok=True)
    (tmp_path / "heads" / "loft.toml").write_text(text, encoding="utf-8")
    return find_head("own:loft", Shelf(own=tmp_path))


@pytest.mark.parametrize(("share", "degrees"), [("1.0", 90.0), ("1", 90.0), ("0.99", 12.0), ("0.4", 12.0), ("0.05", 12.0)])
def test_a_share_of_scattered_light_becomes_the_cone_of_a_diffuser_or_a_usual_condenser(
    tmp_path: Path, share: str, degrees: float
) -> None:
    head = loft(tmp_path, OLDER.replace("scatter_share = 0.4", f"scatter_share = {share}"))
    assert head.light_half_angle_deg == degrees
    assert head.sources["light_half_angle_deg"] == "ranges that fit grade 2"
    assert "scatter_share" not in head.sources


def test_a_dead_time_that_was_measured_is_what_the_filament_loses(tmp_path: Path) -> None:
    head = loft(tmp_path)
    assert head.filament is not None
    assert dead_time_s(head) == pytest.approx(0.14, abs=1e-6)
    assert expected_light_s(10.0, head) == pytest.approx(9.86, abs=1e-6)
    assert expected_light_s(0.2, head) > 0.2 - 0.14  # a flash is over before the wire is hot; what it holds still glows


def test_a_filament_said_to_lose_nothing_loses_nothing(tmp_path: Path) -> None:
    head = loft(tmp_path, OLDER.replace("dead_time_s = 0.14", "dead_time_s = 0.0"))
    assert expected_light_s(3.0, head) == pytest.approx(3.0, abs=1e-9)


def test_what_glows_hotter_than_any_wire_is_read_and_keeps_its_dead_time(tmp_path: Path) -> None:
    head = loft(tmp_path, OLDER.replace("temperature_k = 2900.0", "temperature_k = 5000.0"))
    assert head.filament is None
    assert expected_light_s(10.0, head) == pytest.approx(9.86)
    assert head.at_voltage(0.9) == head


@pytest.mark.parametrize("share", ["0.0", "1.2", '"much"', "true"])
def test_a_share_that_never_was_one_is_refused_by_its_name(tmp_path: Path, share: str) -> None:
    with pytest.raises(OutsideError, match="scatter_share"):
        loft(tmp_path, OLDER.replace("scatter_share = 0.4", f"scatter_share = {share}"))


def test_a_whole_file_of_older_heads_reads_as_todays(tmp_path: Path) -> None:
    today = EQUIPMENT_FILE.read_text(encoding="utf-8")
    older = today.replace("light_half_angle_deg = 90.0", "scatter_share = 1.0")
    older = older.replace("light_half_angle_deg = 12.0", "scatter_share = 0.4")
    older = older.replace('light_half_angle_deg = "', 'scatter_share = "')
    older = older.replace("light_half_angle_deg = 0.0\n", "").replace("light_half_angle_deg = 3.0\n", "")  # how sure it is
    assert "light_half_angle_deg" not in older
    file = tmp_path / "equipment.toml"
    file.write_text(older, encoding="utf-8")
    heads, lenses = read_equipment(file)
    assert (heads, lenses) == read_equipment()
    assert replace(heads["condenser-small"]).light_half_angle_deg == 12.0
