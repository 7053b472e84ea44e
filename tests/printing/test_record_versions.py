"""Record version 2: a strip is a decision that agrees with its exposures; version 1 is lifted and prints the same."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.enlarger.equipment import find_head
from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Exposure, StripDecision
from sim.printing.record_file import record_data, record_from_data
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strip_agreement import disagreement
from sim.printing.strips import lay_strip, stop_times_s, strip_in
from sim.reading import ValueRefused
from sim.refusals import Refused

NEGATIVE, STOCK = find_negative("morning-shelf"), find_stock("glossy-rc-vc")
BASE = usual_setup(NEGATIVE, STOCK)
FILE = Path("strip.json")
WAYS = ("covered", "bursts", "same-place", "burn", "flash")


def laid(way: str, angle_deg: float = 0.0, each: tuple[Exposure, ...] = ()):
    piece = strip_on(NEGATIVE, BASE)
    times = stop_times_s(2.0, 0.5, 6)
    return lay_strip(piece.record, times, 8.0, FilterSetting("3"), way, angle_deg, each)  # type: ignore[arg-type]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("angle_deg", [0.0, 37.0, 90.0, 180.0])
@pytest.mark.parametrize("each", [(), (Exposure(5.0, 11.0, FilterSetting("00")), Exposure(1.0, 8.0, FilterSetting("3")))])
def test_every_way_of_laying_a_strip_agrees_with_its_exposures_and_round_trips(
    way: str, angle_deg: float, each: tuple[Exposure, ...]
) -> None:
    record = laid(way, angle_deg, each).record
    assert disagreement(record) is None
    again = record_from_data(FILE, record_data(record))
    assert again == record
    assert strip_in(again).steps == laid(way, angle_deg, each).steps  # type: ignore[union-attr]


LIES: dict[str, Any] = {
    "another time": lambda d: d["strip"]["times_s"].__setitem__(2, d["strip"]["times_s"][2] * 1.1),
    "one step more": lambda d: d["strip"]["times_s"].append(30.0),
    "another direction": lambda d: d["strip"].update(angle_deg=90.0),
    "another filter": lambda d: d["strip"]["filter"].update(graded="2"),
    "another aperture": lambda d: d["strip"].update(f_number=11.0),
    "an exposure that was not given": lambda d: d["strip"]["each"].append(record_data(BASE)["exposures"][0]),
    "an exposure left out": lambda d: d["exposures"].pop(),
    "a longer exposure": lambda d: d["exposures"][0].update(time_s=d["exposures"][0]["time_s"] + 3.0),
    "another way": lambda d: d["strip"].update(way="covered" if d["strip"]["way"] != "covered" else "bursts"),
    "a direction a little off": lambda d: d["strip"].update(angle_deg=7.0),
    "light of its own in what every step gets": lambda d: d["strip"]["each"].append(
        {**record_data(BASE)["exposures"][0], "light_s": 60.0}
    ),
    "a whole sheet": lambda d: d["sheet"].update(kind="sheet"),
    "no step said": lambda d: d["exposures"][-1].update(step=0),
}


def turned_end_for_end(data: dict[str, Any]) -> None:
    data["strip"]["angle_deg"] += 180.0


def cardboard_beside_its_mark(data: dict[str, Any]) -> None:
    data["exposures"][2]["cards"][0]["motion"]["x_mm"] += 5.0  # the steps' middles keep their seconds


def two_steps_changed_over(data: dict[str, Any]) -> None:
    one, other = data["exposures"][1:3]
    one["step"], other["step"] = other["step"], one["step"]


@pytest.mark.parametrize("way", ["covered", "bursts", "same-place"])
@pytest.mark.parametrize("lie", LIES)
def test_a_decision_that_its_exposures_do_not_bear_out_is_refused_by_name(lie: str, way: str) -> None:
    data = copy.deepcopy(record_data(laid(way, 0.0).record))
    LIES[lie](data)
    with pytest.raises(ValueRefused, match=r"strip"):
        record_from_data(FILE, data)


@pytest.mark.parametrize(
    ("way", "lie"),
    [
        ("same-place", turned_end_for_end), ("burn", turned_end_for_end), ("bursts", two_steps_changed_over),
        ("same-place", two_steps_changed_over), ("bursts", cardboard_beside_its_mark), ("flash", cardboard_beside_its_mark),
    ],
)  # fmt: skip
def test_an_exposure_that_says_another_step_than_what_lies_on_the_paper_makes_is_refused(way: str, lie: Any) -> None:
    data = copy.deepcopy(record_data(laid(way, 0.0).record))
    lie(data)
    with pytest.raises(ValueRefused, match=r"exposures\[\d\]\.step: must be the step that"):
        record_from_data(FILE, data)


def as_version_1(data: dict[str, Any], way: str) -> dict[str, Any]:
    """Return a strip's record as version 1 wrote it: no decision, its steps told by notes."""
    old = copy.deepcopy(data)
    for key in ("strip",):
        old.pop(key)
    old["format"] = 1
    old["sheet"].pop("paper_digest")
    for key in ("lamp_voltage_share", "head_digest"):
        old["enlarger"].pop(key)
    for key in ("strength", "bath_l", "age_h"):
        old["development"].pop(key)
    for exposure in old["exposures"]:
        step = exposure.pop("step")
        exposure.pop("light_by_second")
        exposure["note"] = ("covered step by step" if way == "covered" else f"step {step}") if step else "under the strip"
        for card in exposure["cards"]:
            card["note"] = "slot" if way == "same-place" else "cover card"
    return old


@pytest.mark.parametrize("angle_deg", [0.0, 90.0])
@pytest.mark.parametrize("way", ["covered", "bursts", "same-place"])
def test_a_strip_of_version_1_is_lifted_with_its_steps_and_prints_the_same(way: str, angle_deg: float) -> None:
    strip = laid(way, angle_deg)
    lifted = record_from_data(FILE, as_version_1(record_data(strip.record), way))
    assert lifted == strip.record
    sheets = [make_print(NEGATIVE, one, STOCK, 1.0).density for one in (lifted, strip.record)]
    assert np.array_equal(*sheets)


def test_a_hard_strip_over_a_soft_exposure_of_version_1_keeps_both_lights() -> None:
    soft = Exposure(5.0, 8.0, FilterSetting("00"))
    strip = laid("covered", 0.0, (soft,))
    lifted = record_from_data(FILE, as_version_1(record_data(strip.record), "covered"))
    assert lifted.strip == strip.record.strip
    assert lifted.strip is not None
    assert lifted.strip.each == (soft,)


def test_a_sheet_of_version_1_is_read_as_it_was() -> None:
    old = as_version_1(record_data(BASE), "covered")
    for exposure in old["exposures"]:
        exposure["note"] = ""
    assert record_from_data(FILE, old) == BASE


@pytest.mark.parametrize("version", [0, 3, True, "2", 2.5, None])
def test_other_versions_are_refused(version: object) -> None:
    with pytest.raises(ValueRefused, match="format: must be 1 or 2"):
        record_from_data(FILE, {**record_data(BASE), "format": version})


@pytest.mark.parametrize(
    "wrong",
    [
        {"times_s": (4.0,)}, {"times_s": (4.0, 4.0)}, {"times_s": (0.0, 4.0)}, {"times_s": (4.0, 700.0)}, {"f_number": 1.0},
        {"angle_deg": float("nan")}, {"each": (Exposure(2.0, 8.0, paper_shift_mm=(5.0, 0.0)),)},
    ],
)  # fmt: skip
def test_what_cannot_be_a_strip_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(Refused):
        StripDecision(**{"way": "covered", "times_s": (2.0, 4.0), "f_number": 8.0, **wrong})


def test_light_told_second_by_second_ends_at_the_light_that_was_given() -> None:
    told = Exposure(3.0, 8.0, light_s=2.7, light_by_second=((0.0, 0.0), (1.0, 0.75), (2.0, 1.74), (3.0, 2.7)))
    assert told.light_by_second[-1][1] == told.light_s
    for points, light_s in ((((0.0, 0.0), (1.0, 2.0)), 2.7), (((1.0, 0.5), (0.5, 2.7)), 2.7), (((1.0, 2.7),), None)):
        with pytest.raises(Refused, match="light_by_second"):
            Exposure(3.0, 8.0, light_s=light_s, light_by_second=points)


def test_a_filament_below_its_voltage_is_dimmer_and_redder_and_a_diode_is_not() -> None:
    full = find_head("diffusion-small")
    low = full.at_voltage(0.9)
    assert low.gate_luminance_cd_m2 / full.gate_luminance_cd_m2 == pytest.approx(
        0.9**3.4, rel=0.03  # handbook exponent, from memory
    )
    assert low.lamp.temperature_k < full.lamp.temperature_k  # type: ignore[operator]
    assert find_head("led-sheet").at_voltage(0.9) == find_head("led-sheet")
    assert full.at_voltage(1.0) is full
