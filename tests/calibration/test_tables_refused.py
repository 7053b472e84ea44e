"""Tables that people write of strips and patches: one that is none is refused with its line, and what is wrong there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sim.calibration.patches_csv import read_patches
from sim.calibration.readings_csv import read_readings
from sim.refusals import OutsideError

READINGS = "row,wedge,00,5\nseconds,,20,40\nunexposed,,0.06,0.06\n1,0.05,2.2,2.2\n2,0.15,2.1,2.0\n"
BAD_READINGS = {
    "": "an empty file",
    "row,wedge\nseconds,,\n": "settings",
    READINGS.replace("1,0.05,2.2,2.2", "1,0.05,2.2,2.2,2.2"): "line 4: must have 4 cells",
    READINGS.replace("seconds,,20,40\n", ""): "row seconds",
    READINGS.replace("seconds,,20,40", "seconds,,20,0"): "line 2: seconds of 5",
    READINGS.replace("2,0.15", "1,0.15"): "line 5: must be a step",
    READINGS.replace("2,0.15", "2,0.02"): "line 5: wedge",
    READINGS.replace("2.1", "dark"): "line 5",
    READINGS.replace("00,5", "00,7"): "line 1: must name a setting",
    READINGS.replace("00,5", "5,5"): "every setting once",
    READINGS + "black,,3,4\n": "exclude each other",
    "row,wedge,00,5\nseconds,,20,40\n": "numbered steps",
    "row,wedge,00,5\nseconds,,20,40\nblack,,3,4\n": "wedge to be said",
}
PATCHES = "height_mm,f_number,filter,seconds,density\n"
BAD_PATCHES = {
    "height_mm,f_number\n1,2\n": "must begin with",
    PATCHES + "620,8,2,10\n": "line 2: must have 5 cells",
    PATCHES + "620,8,9,10,0.7\n": "line 2: filter must be",
    PATCHES + "620,8,2,ten,0.7\n": "line 2: seconds must be",
    PATCHES: "1 to 200 rows",
    "": "must begin with",
}
BAD = [(read_readings, *row) for row in BAD_READINGS.items()] + [(read_patches, *row) for row in BAD_PATCHES.items()]


@pytest.mark.parametrize(("read", "text", "words"), BAD)
def test_a_table_that_is_none_is_refused_with_its_line(
    read: Callable[[Path], object], text: str, words: str, tmp_path: Path
) -> None:
    file = tmp_path / "read.csv"
    file.write_text(text)
    with pytest.raises(OutsideError) as refusal:
        read(file)
    assert words in str(refusal.value)


def test_a_table_that_is_one_is_read(tmp_path: Path) -> None:
    (tmp_path / "strips.csv").write_text(READINGS)
    (tmp_path / "patches.csv").write_text(PATCHES + "620,8,2,10,0.7\n")
    assert len(read_readings(tmp_path / "strips.csv").strips) == 2
    (patch,) = read_patches(tmp_path / "patches.csv")
    assert (patch.seconds, patch.density) == (10.0, 0.7)


@pytest.mark.parametrize("parted_by", [";", "\t"])
def test_a_table_with_decimal_commas_says_the_same_where_semicolons_or_tabs_part_its_cells(
    tmp_path: Path, parted_by: str
) -> None:
    plain, other = tmp_path / "plain.csv", tmp_path / "other.csv"
    plain.write_text(READINGS.replace("00,5", "00,0.5"))
    other.write_text(READINGS.replace("00,5", "00,0.5").replace(",", parted_by).replace(".", ","))
    assert read_readings(other, 2.0) == read_readings(plain, 2.0)
    patches = "height_mm,f_number,filter,seconds,density\n620,5.6,2,10,0.74\n"
    plain.write_text(patches)
    other.write_text(patches.replace(",", parted_by).replace(".", ","))
    assert read_patches(other) == read_patches(plain)


def test_decimal_commas_among_commas_are_refused_and_the_way_out_said(tmp_path: Path) -> None:
    file = tmp_path / "read.csv"
    file.write_text(READINGS.replace("0.05,2.2,2.2", "0,05,2,2,2,2"))
    with pytest.raises(OutsideError, match=r"line 4: must have 4 cells.*part the cells by semicolons"):
        read_readings(file)
    file.write_text(READINGS.replace(",", ";").replace("2.2;2.2", "2,2;1.002,2"))
    with pytest.raises(OutsideError, match="line 4: must be a number"):
        read_readings(file)
