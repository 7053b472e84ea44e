"""What the bench allows, keeps and says, from where on: just inside and just outside."""

from __future__ import annotations

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
from sim.enlarger.settings import EnlargerSettings
from sim.paper.development import Development
from sim.printing.record import Exposure, PrintingRecord, Sheet
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
