"""Whole prints, record in, readings out. A changed value needs a sentence in the commit: what in the darkroom changed.

The readings were written down by ``python tests/golden/test_golden.py`` from the product itself; they hold it still, they do
not prove it right (tests/published and tests/oracle do).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import read_record
from sim.viewing.densitometer import read_place

FOLDER = Path(__file__).parent
READINGS = FOLDER / "readings.json"
RECORDS = sorted(path.stem for path in (FOLDER / "records").glob("*.json"))
TOLERANCE_DENSITY = 0.003  # densities agree within 0.0005 across machines; a spot's edge pixels add a little


def readings_of(name: str) -> dict[str, float]:
    record = read_record(FOLDER / "records" / f"{name}.json")
    negative = find_negative(record.negative)
    sheet = make_print(negative, record, find_stock(record.sheet.paper))
    return {place.name: round(read_place(sheet, place), 4) for place in negative.places}


@pytest.mark.parametrize("name", RECORDS)
def test_a_recorded_print_reads_as_it_did(name: str) -> None:
    expected = json.loads(READINGS.read_text(encoding="utf-8"))[name]
    assert readings_of(name) == pytest.approx(expected, abs=TOLERANCE_DENSITY)


def test_there_are_recorded_prints() -> None:
    assert len(RECORDS) >= 5


if __name__ == "__main__":
    READINGS.write_text(json.dumps({name: readings_of(name) for name in RECORDS}, indent=1) + "\n", encoding="utf-8")
