"""What the bench allows, keeps and says, from where on: just inside and just outside."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from darkrooms import small_room

from sim.bench.comparing import compare
from sim.bench.desk_file import InHand
from sim.bench.lamp import Lamp
from sim.bench.light_of_print import light_of
from sim.bench.piece import laid_at
from sim.bench.strip_by_hand import DrawnStrip
from sim.bench.tools import CardPose, HandTracks, Tool
from sim.enlarger.equipment import find_lens
from sim.enlarger.geometry import magnification_at_height
from sim.enlarger.settings import EnlargerSettings
from sim.notebook.exposure_plan import PlannedExposure
from sim.paper.development import Development
from sim.printing.record import Exposure, PrintingRecord, Sheet, Still
from sim.printing.record import Path as Moving
from sim.refusals import Refused
from sim.viewing.lightness import lightness

RECORD = PrintingRecord(
    "morning-shelf", Sheet("glossy-rc-vc", 203.2, 254.0), EnlargerSettings("diffusion-small", "80-mm", 390.0),
    (Exposure(10.0, 8.0),), Development(60.0),
)  # fmt: skip


def sheet(density: float) -> Any:
    """An even print of 20 x 20 mm."""
    grid = SimpleNamespace(
        px_per_mm=1.5, pixel_of=lambda x, y: (np.asarray(y) * 1.5, np.asarray(x) * 1.5),
        open_window=lambda: (slice(0, 60), slice(0, 60)),
    )  # fmt: skip
    return SimpleNamespace(density=np.full((30, 30), density), grid=grid, frame_mm=(0.0, 0.0, 20.0, 20.0))


@pytest.mark.parametrize(("steps", "seen"), [(0.95, 0.0), (1.05, 1.0)])
def test_of_two_prints_laid_over_each_other_a_step_of_lightness_is_seen(steps: float, seen: float) -> None:
    densities = np.linspace(0.3, 1.0, 7001)
    other = float(np.interp(-(float(lightness(0.6)) - steps), -lightness(densities), densities))
    assert compare(sheet(0.6), sheet(other), (30, 30), ()).share_visible == seen


@pytest.mark.parametrize(("darker", "value"), [(0.25, 64), (-0.25, 192), (0.5, 1), (0.6, 1), (0.4, 26)])
def test_half_a_density_more_is_black_in_the_picture_of_the_difference(darker: float, value: int) -> None:
    picture = compare(sheet(0.7), sheet(0.7 + darker), (30, 30), ()).picture
    assert abs(int(picture[15, 15]) - value) <= 1


@pytest.mark.parametrize(("seconds", "short_s"), [(57.0, 57.0), (58.0, 57.99), (58.5, 0.0), (60.0, 0.0)])
def test_a_development_is_called_short_below_97_hundredths_of_the_papers_time(seconds: float, short_s: float) -> None:
    found = light_of(replace(RECORD, development=Development(seconds))).short_s
    assert found == pytest.approx(short_s, abs=0.02)


def test_a_card_is_drawn_on_no_faster_than_a_hand_does_it() -> None:
    first = DrawnStrip(5, 0.0).drawn_on(1.0)
    assert first.drawn_on(1.04).moments_s == (1.0, 1.05)
    assert first.drawn_on(1.07).moments_s == (1.0, 1.07)


def lamp_on(time_s: float = 600.0) -> Lamp:
    lamp = Lamp()
    optics: Any = SimpleNamespace(shadow_scale=lambda height_mm: 1.0)
    lamp.switch_on(Exposure(time_s, 8.0), optics, (0.0, 0.0))
    return lamp


def test_the_lamp_burns_a_tenth_of_a_second_at_least_and_ten_minutes_are_waited_at_once() -> None:
    for seconds, given_s in ((0.05, 0.1), (0.09, 0.1), (0.12, 0.12)):
        lamp = lamp_on()
        lamp.burn(seconds, ())
        assert lamp.given_so_far().time_s == given_s
        assert lamp.switch_off().time_s == pytest.approx(given_s, abs=0.001)
    lamp_on().burn(600.0, ())
    with pytest.raises(Refused, match="between 0 and 600"):
        lamp_on().burn(601.0, ())


@pytest.mark.parametrize(("height_mm", "angle_deg", "cards"), [(3.9, 0.0, 1), (4.1, 0.0, 2), (0.0, 2.9, 1), (0.0, 3.1, 2)])
def test_a_card_raised_or_turned_a_little_is_the_same_card_to_the_record(
    height_mm: float, angle_deg: float, cards: int
) -> None:
    pose, tracks = CardPose(Tool("oval", 40.0, 30.0), 90.0, 100.0, 120.0, 10.0), HandTracks()
    tracks.follow(0.0, 1.0, [pose])
    tracks.follow(1.0, 2.0, [replace(pose, card_height_mm=120.0 + height_mm, angle_deg=10.0 + angle_deg)])
    assert len(tracks.cards(2.0)) == cards


@pytest.mark.parametrize(("moved_mm", "allowed"), [(499.0, True), (-499.0, True), (501.0, False), (-501.0, False)])
def test_exposed_paper_is_moved_half_a_metre_at_most(moved_mm: float, allowed: bool) -> None:
    hand = InHand("sheet", 1, 200.0, 250.0, (0.0, 0.0), exposures=(Exposure(10.0, 8.0),))
    if allowed:
        assert laid_at(hand, 100.0 + moved_mm, 125.0).moved_mm == (moved_mm, 0.0)
    else:
        with pytest.raises(Refused, match="within 500 mm"):
            laid_at(hand, 100.0 + moved_mm, 125.0)


@pytest.mark.parametrize(("seconds", "pulled"), [(58.0, True), (58.5, False)])
def test_a_sheet_is_noted_as_pulled_below_97_hundredths_of_its_time(seconds: float, pulled: bool, tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.paper.take("sheet")
    room.paper.expose(30.0)
    room.tray.put_in()
    room.tray.advance(seconds)
    room.tray.next()
    assert [said.kind for said in room.evening.state.said] == (["pulled"] if pulled else [])
    room.close()


def test_sixty_changes_can_be_taken_back_and_the_oldest_gives_way(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    before, kept = room.desk.now, room.desk._desk_file
    kept.keep(before=tuple(replace(before, time_s=5.0 + k) for k in range(60)))
    room.desk.set("time_s", 99.0)
    assert [one.time_s for one in kept.now.before] == [*(5.0 + k for k in range(1, 60)), before.time_s]
    assert room.desk.undo()
    assert room.desk.now == before
    room.close()


def test_a_quarter_of_an_hour_in_the_developer_passes_at_once_and_no_more(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.paper.take("sheet")
    room.paper.expose(30.0)
    room.tray.put_in()
    with pytest.raises(Refused, match="between 0 and 900"):
        room.tray.advance(901.0)
    room.tray.advance(899.0)
    assert room.tray.seconds == pytest.approx(899.0)
    room.close()


def test_a_card_held_still_is_recorded_as_still_and_one_that_moved_with_its_path() -> None:
    pose = CardPose(Tool("oval", 40.0, 30.0), 90.0, 100.0, 120.0, 10.0)
    still, moved = HandTracks(), HandTracks()
    still.follow(0.0, 2.0, [pose])
    moved.follow(0.0, 1.0, [pose])
    moved.follow(1.0, 2.0, [replace(pose, x_mm=110.0)])
    assert [type(card.motion) for card in still.cards(2.0)] == [Still]
    assert [type(card.motion) for card in moved.cards(2.0)] == [Moving]


@pytest.mark.parametrize(("many", "allowed"), [(64, True), (65, False)])
def test_a_plan_may_have_as_many_exposures_as_a_sheet_takes(many: int, allowed: bool, tmp_path: Path) -> None:
    room = small_room(tmp_path)
    plan = [PlannedExposure(4.0, 8.0)] * many
    if allowed:
        room.paper.set_plan(plan)
        assert len(room.paper.plan) == many
    else:
        with pytest.raises(Refused, match="at most 64 exposures"):
            room.paper.set_plan(plan)
    room.close()


@pytest.mark.parametrize(("dial", "allowed"), [(0.0, True), (2.0, True), (-0.01, False), (2.01, False)])
def test_the_dials_of_a_colour_head_go_from_nothing_to_their_end(dial: float, allowed: bool, tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("magenta", 1.0)
    if allowed:
        room.desk.set("magenta", dial)
        assert room.desk.now.magenta == dial
    else:
        with pytest.raises(Refused, match="magenta must be between 0"):
            room.desk.set("magenta", dial)
    room.close()


def test_another_lens_stands_no_lower_than_where_it_prints_at_the_films_own_size(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("height_mm", 430.0)
    room.desk.set("lens", "150-mm")
    assert magnification_at_height(find_lens("150-mm").focal_mm, room.desk.now.height_mm) == pytest.approx(1.0, abs=0.02)
    room.close()


def test_sheets_grow_by_both_sides_and_stand_as_sheets_of_the_trade_do(tmp_path: Path) -> None:
    """Every box holds a larger sheet than the one before, and none is nearly square or a ribbon."""
    room = small_room(tmp_path)
    sheet_control = room.desk.control("sheet")
    sizes = [sorted(float(side) for side in str(one).split("x")) for one in sheet_control.choices]
    assert len(sizes) >= 5
    assert all(1.2 < high / wide < 1.45 for wide, high in sizes)
    assert all(a < b for one, other in itertools.pairwise(sizes) for a, b in zip(one, other, strict=True))
    room.close()


@pytest.mark.parametrize("way", ["burn", "flash"])
def test_only_what_every_step_gets_before_its_burn_is_laid_without_a_card(way: str, tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.paper.take("strip")
    room.paper.lay_in_steps(way, (0.0, 2.0, 4.0), 90.0, 8.0, 5.0 if way == "flash" else 0.0)  # type: ignore[arg-type]
    found = []
    while (strip := room.paper.strip_to_come) is not None:
        found.append((strip.exposures[strip.given].time_s == 8.0, strip.is_base))
        left = room.paper.begin_next_of_strip()
        while left > 0.0:
            left = left - 2.0 if room.paper.advance(2.0) else 0.0
    assert any(base for base, _ in found)
    assert [said for _, said in found] == [base and way == "burn" for base, _ in found]
    room.close()


def test_what_lies_under_the_border_of_either_print_is_not_compared() -> None:
    """Twenty mm each way; the second's lower quarter, or its right one, lies under the easel's blade."""
    for rows, cols in ((slice(0, 20), slice(0, 60)), (slice(0, 60), slice(0, 20))):
        one, other = sheet(0.6), sheet(0.6)
        other.density[rows.stop :, :] = 2.0
        other.density[:, cols.stop :] = 2.0
        other.grid.open_window = lambda rows=rows, cols=cols: (rows, cols)
        for found in (compare(one, other, (30, 30), ()), compare(other, one, (30, 30), ())):
            assert (found.largest, found.share_visible) == (0.0, 0.0)
            assert set(np.unique(found.picture)) == {128}
