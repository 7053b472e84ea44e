"""What the wall shows of two prints, what a strip's step comes to, what a coin and a clear spot tell: as a user meets them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from darkrooms import small_negative, small_room

from sim.bench.darkroom import Darkroom
from sim.bench.own_enlargers import FoundEnlarger, as_it_was, named_head, of_right_print
from sim.bench.own_scans import ScanAsked
from sim.bench.real_sheet import worth_of_a_tone
from sim.bench.short_baths import ShortBath, note_of_short, short_baths
from sim.bench.step_as_plan import step_as_plan
from sim.negative.scan_frame import Box
from sim.paper.stock import find_stock
from sim.printing.strips import PAST_A_CARD, StripWay
from sim.refusals import Refused
from sim.viewing.real_paper import RealTone

TONES = (RealTone("cup", 0.10, 0.04, 0.02, ("speed",)), RealTone("wall", 0.90, 0.12, 0.06, ("contrast",)))


@pytest.mark.parametrize(
    ("density", "place"),
    [(0.071, "cup"), (0.069, None), (1.049, "wall"), (1.051, None), (0.48, "cup"), (0.52, "wall"), (0.10, "cup")],
)
def test_a_tone_is_worth_its_neighbours_and_nothing_far_beyond_them(density: float, place: str | None) -> None:
    found = worth_of_a_tone(TONES[::-1], density)
    assert (found.place if found else None) == place
    assert worth_of_a_tone((), density) is None


def test_halfway_between_two_places_a_tone_is_worth_the_middle_of_both() -> None:
    found = worth_of_a_tone(TONES, 0.5)
    assert found is not None
    assert (found.density, found.untested, found.after_a_strip) == pytest.approx((0.5, 0.08, 0.04))


def hung(room: Darkroom) -> int:
    room.paper.take("sheet")
    room.paper.expose(4.0)
    room.tray.put_in()
    number = room.tray.finish()
    room.tray.clear()
    return number


def test_the_same_thing_is_found_on_another_print_whatever_its_size_and_not_beside_its_paper(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    first = hung(room)
    room.desk.set("image_shift_x_mm", 12.0)
    moved = hung(room)
    room.desk.set("image_shift_x_mm", 0.0)
    room.desk.set("height_mm", room.desk.now.height_mm * 1.15)
    larger = hung(room)
    for number in (moved, larger):
        there = {name: (x, y) for name, x, y, _ in room.wall.places(number)}
        here = {name: (x, y) for name, x, y, _ in room.wall.places(first)}
        assert {"wall", "dark"} <= here.keys() & there.keys()
        for name in here.keys() & there.keys():
            x, y = here[name]
            assert room.wall.same_place(first, number, x, y) == pytest.approx(there[name], abs=0.01)
            assert room.wall.same_place(number, first, *there[name]) == pytest.approx((x, y), abs=0.01)
    wide, high = room.wall.record(first).sheet.width_mm, room.wall.record(first).sheet.height_mm
    for x, y, on in (
        (wide - 13.0, high / 2, True), (wide - 11.0, high / 2, False), (1.0, 1.0, True), (wide / 2, high - 0.5, True),
    ):  # fmt: skip
        assert (room.wall.same_place(first, moved, x, y) is not None) is on
    assert room.wall.same_place(moved, first, 11.0, 40.0) is None
    assert room.wall.same_place(first, larger, wide / 2, 0.5) is None
    assert room.wall.same_place(first, larger, wide / 2, high - 0.5) is None


def test_prints_of_two_negatives_share_no_place(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    one = hung(room)
    room.desk.set("negative", "step-wedge")
    assert room.wall.same_place(one, hung(room), 50.0, 50.0) is None


@dataclass
class Laid:
    """A piece with a strip of some way, laid at the bench step by step."""

    room: Darkroom
    way: StripWay
    times_s: tuple[float, ...] = (0.0, 2.0, 4.0)

    def number(self) -> int:
        room, over_s = self.room, 8.0
        room.paper.take("strip")
        room.paper.lay_in_steps(self.way, self.times_s, 90.0, over_s, 5.0 if self.way.startswith("flash") else 0.0)
        while room.paper.strip_to_come is not None:
            left = room.paper.begin_next_of_strip()
            while left > 0.0:
                left = left - 2.0 if room.paper.advance(2.0) else 0.0
        room.tray.put_in()
        return room.tray.finish()


@pytest.mark.parametrize(("way", "order"), [("burn", [8.0, 4.0]), ("flash", [4.0, 8.0])])
def test_a_step_of_burns_or_flashes_is_the_exposures_that_made_it(way: StripWay, order: list[float], tmp_path: Path) -> None:
    room = small_room(tmp_path)
    record = room.wall.record(Laid(room, way).number())
    assert [one.time_s for one in step_as_plan(record, 3, room.desk.now)] == order
    assert [one.time_s for one in step_as_plan(record, 1, room.desk.now)] == [8.0]


def test_a_step_of_a_plain_strip_or_of_a_sheet_is_no_plan(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    sheet = room.wall.record(hung(room))
    assert step_as_plan(sheet, 1, room.desk.now) == ()
    bursts = room.wall.record(Laid(room, "bursts", (2.0, 4.0, 8.0)).number())
    assert bursts.strip is not None
    assert bursts.strip.way not in PAST_A_CARD
    assert step_as_plan(bursts, 2, room.desk.now) == ()


def test_a_bath_left_too_soon_is_told_of_its_own_sheet_in_the_logs_order() -> None:
    notes = (note_of_short(2, "fix", 20.0, 60.0), "a word of somebody's own", note_of_short(1, "wash", 5.4, 30.0),
             note_of_short(2, "wash", 12.0, 30.0))  # fmt: skip
    assert short_baths(notes, 2) == (ShortBath("fix", 20, 60), ShortBath("wash", 12, 30))
    assert short_baths(notes, 1) == (ShortBath("wash", 5, 30),)
    assert short_baths(notes, 3) == ()


def found() -> FoundEnlarger:
    return as_it_was("kitchen", named_head("diffusion-small"), "glossy-rc-vc")


@pytest.mark.parametrize(
    ("clear_min", "marked_min", "allowed"),
    [(0.0, 4.0, True), (4.0, 8.0, True), (4.0, 120.0, True), (4.0, 121.0, False), (4.0, 4.0, False), (5.0, 4.0, False),
     (-1.0, 4.0, False), (6.0, None, True)],
)  # fmt: skip
def test_a_coin_leaves_its_mark_later_than_none_and_within_two_hours(
    clear_min: float, marked_min: float | None, allowed: bool
) -> None:
    if not allowed:
        with pytest.raises(Refused, match="minutes without a mark"):
            found().with_coin(clear_min, marked_min)
        return
    light = found().with_coin(clear_min, marked_min).found.light
    assert (light.safe_min, light.marked_min) == (clear_min, marked_min)


def test_an_enlarger_measured_on_one_paper_takes_no_print_on_another(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    record = room.wall.record(hung(room))
    head = named_head("diffusion-small")
    light = found().with_coin(4.0, 8.0).found.light
    own = replace(head, own=light, sources={**head.sources, "own": "assumption"})
    with pytest.raises(Refused, match="the paper must be glossy-rc-vc"):
        of_right_print("kitchen", own, small_negative(), find_stock("glossy-fb-vc"), record)
    told = of_right_print("kitchen", own, small_negative(), find_stock("glossy-rc-vc"), record)
    assert told.found.light.paper == "glossy-rc-vc"


@pytest.mark.parametrize(
    ("turn", "flipped", "at"),
    [(0, False, (0.2, 0.3)), (0, True, (0.8, 0.3)), (90, False, (0.3, 0.8)), (180, False, (0.8, 0.7)), (270, False, (0.7, 0.2)),
     (90, True, (0.7, 0.8))],
)  # fmt: skip
def test_a_spot_of_a_turned_or_flipped_scan_is_found_in_its_file(turn: int, flipped: bool, at: tuple[float, float]) -> None:
    whole = ScanAsked(turn=turn, flipped=flipped).in_scan(Box(0.0, 0.0, 1.0, 1.0), 0.2, 0.3)
    assert whole == pytest.approx(at)


def test_a_spot_of_a_frame_is_counted_from_the_frames_corner() -> None:
    assert ScanAsked().in_scan(Box(0.5, 0.1, 0.9, 0.6), 0.25, 0.5) == pytest.approx((0.6, 0.35))
