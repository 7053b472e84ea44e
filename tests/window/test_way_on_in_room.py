"""The way from opening the door to a first print in white light: few acts, each the most visible thing, none skipped."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.bench.darkroom import Darkroom
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.scoring.target_tones import aim_densities
from sim.window.kit.events import Pointer
from sim.window.standing.next_act import next_act
from sim.window.things.strip_meant import WAYS

ACT_S, LOOK_S = 1.0, 4.0  # a newcomer's act; and a look at the picture before the next one (chosen)


def _first_print(hands: Hands, waits_in_developer: bool) -> tuple[int, float]:
    """Do whatever has the rim of light until it leads on to a second print; returns acts and seconds."""
    acts, spent = 0, 0.0
    while (wanted := next_act(hands.window.room)) not in ("", "to enlarger") and acts < 20:
        tray = hands.window.room.darkroom.tray if hands.window.room.open else None
        if wanted == "hang up" and tray is not None and tray.stage == "developer":
            look_s = tray.wanted_s if waits_in_developer else LOOK_S
            hands.wait(look_s)
            spent += look_s
        hands.wait(ACT_S)
        hands.touch(wanted)
        hands.frame(0.0, times=2)
        acts, spent = acts + 1, spent + ACT_S
        while hands.window.room.burning:
            hands.wait(0.2)
            spent += 0.2
    return acts, spent


@pytest.mark.parametrize("waits", [False, True])
def test_a_newcomer_who_follows_the_rim_of_light_has_a_print_within_ninety_seconds(tmp_path: Path, waits: bool) -> None:
    hands = in_room(tmp_path, evening=False)
    acts, spent = _first_print(hands, waits)
    print(f"\nfirst print in white light: {acts} acts, {spent:.1f} s")
    room = hands.window.room
    assert (hands.place, room.light) == ("wall", "white")
    assert acts <= 10
    assert spent <= 90.0
    record = room.darkroom.wall.record(1)
    assert record.development.time_s >= 59.9, "nothing is left out: the paper had its full time"


def test_the_first_print_has_the_tones_that_a_first_lesson_asks_for(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    _first_print(hands, False)
    wall = hands.window.room.darkroom.wall
    response = Response(find_stock("glossy-rc-vc"), wall.record(1).development)
    lightest, _ = aim_densities(response)
    at = {part: wall.read(1, x, y).density for _, x, y, part in wall.places(1)}
    assert at["lightest"] == pytest.approx(lightest, abs=0.04), "the tolerance of the lesson a first sheet"
    net = (at["darkest"] - response.base_plus_fog) / (response.black - response.base_plus_fog)
    assert net >= 0.78, "its black"


def test_the_meter_gives_the_start_and_says_so_until_the_timer_is_turned(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    desk, timer = hands.window.room.darkroom.desk, hands.enlarger.timer
    assert desk.now.time_s != 10.0
    assert "as the meter says" in hands.words
    assert desk.would_undo == (), "how one finds it is no step to be taken back"
    for control, other in (("f_number", 16.0), ("filter", "4"), ("height_mm", desk.now.height_mm + 100.0)):
        stood = getattr(desk.now, control)
        desk.set(control, other)
        assert timer.stops() == "", f"with another {control} the meter would say other seconds"
        desk.set(control, stood)
        assert "meter" in timer.stops()
    desk.set("focus_offset_mm", 0.2)
    assert "meter" in timer.stops(), "who focuses changes no seconds"
    desk.set("time_s", desk.now.time_s + 1.0)
    assert timer.stops() == ""


def test_an_evening_on_any_paper_begins_metered_and_a_negative_without_a_lightest_place_as_usual(tmp_path: Path) -> None:
    seconds = set()
    for n, paper in enumerate(("glossy-rc-vc", "glossy-fb-vc", "graded-fb-2")):
        darkroom = Darkroom.open(tmp_path / str(n), paper=paper, by_meter=True)
        seconds.add(darkroom.desk.now.time_s)
        darkroom.close()
    assert len(seconds) == 3, "each paper has its own"


def test_the_way_into_the_developer_is_there_only_once_all_the_light_has_fallen(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    dark = hands.window.room.darkroom
    dark.desk.set("time_s", 1.0)
    for key in ("a", "a", "s"):
        hands.press(key)
    hands.frame()
    for left in (2, 1):
        assert not hands.enlarger.way_on.there, f"{left} exposures of the plan are still to come"
        hands.press("space")
        hands.wait(2.0)
    assert hands.enlarger.way_on.there
    hands.press("return")
    hands.frame(times=2)
    assert (hands.place, dark.tray.stage) == ("trays", "developer")


@pytest.mark.parametrize("way", WAYS)
def test_the_foot_gives_a_fresh_strip_what_its_plate_says(tmp_path: Path, way: str) -> None:
    hands = in_room(tmp_path)
    dark, strip = hands.window.room.darkroom, hands.enlarger.strip
    dark.desk.set("time_s", 2.0)
    hands.press("t")
    hands.frame()
    while strip.meant.way != way:
        hands.touch("strip kind")
    hands.frame()
    said = hands.enlarger.foot_plate.now()
    coming = hands.enlarger.timer.to_come()
    assert coming is not None
    hands.press("space")
    paper = dark.paper
    assert said == f"Expose {hands.window.room.number(paper.left_s + paper.elapsed_s)} s"
    lights = 1 if way == "covered" else len(paper.strip_to_come.exposures) if paper.strip_to_come else 0
    assert coming.words == ("the whole strip" if lights == 1 else f"light 1 of {lights}")


def test_a_strip_in_steps_is_sent_on_after_its_last_step_and_no_sum_is_said(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.window.room.darkroom.desk.set("time_s", 2.0)
    hands.press("t")
    hands.frame()
    hands.touch("strip kind")
    for n in range(1, 6):
        assert not hands.enlarger.way_on.there
        hands.press("space")
        hands.wait(5.0)
        assert (f"Light {n} of 5 has been given" in hands.said) is (n < 5)
    assert "steps of 1.0 to 4.0 s of light" in hands.said
    assert hands.enlarger.way_on.there


def test_the_fast_clock_goes_on_to_the_papers_full_time_and_then_says_why_not(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    dark, room = hands.window.room.darkroom, hands.window.room
    dark.desk.set("development_time_s", 40.0)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(9.0)
    hands.press("return")
    hands.frame(times=2)
    hands.press("x")
    hands.wait(5.2)
    assert dark.tray.seconds >= 40.0
    assert room.fast_clock, "the time that was set is over, the paper's full one is not"
    hands.wait(2.6)
    assert dark.tray.seconds == pytest.approx(60.0, abs=0.8)
    assert not room.fast_clock
    hands.press("x")
    assert "has had all its time in this bath" in hands.said


def test_a_pace_that_was_asked_for_does_not_go_on_in_the_next_evening(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.press("alt+3")
    hands.frame()
    hands.touch("tray clock")
    assert "developer" in hands.window.room.standing.fast
    hands.press("alt+1")
    hands.frame()
    hands.press("n")
    hands.frame(times=3)
    assert "developer" not in hands.window.room.standing.fast


def test_a_touch_on_a_steps_seconds_beside_the_strip_asks_whether_it_is_this_time(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.window.room.darkroom.desk.set("time_s", 2.0)
    for key in ("t", "space"):
        hands.press(key)
    hands.wait(5.0)
    hands.develop()
    hands.press("w")
    hands.press("alt+4")
    canvas = hands.frame(0.2, times=3)
    label = next(one for one in canvas.labels if one.words == "1.4 s")
    assert not hands.where("print 1").colliderect(label.rect), "it stands beside the strip"
    for kind in ("move", "down", "up"):
        hands.window.handle(Pointer(kind, label.rect.center, 0 if kind == "move" else 1))  # type: ignore[arg-type]
    hands.frame(0.2, times=2)
    assert "1.4 s: this time?" in hands.words
    hands.touch("this time")
    assert hands.window.room.darkroom.desk.now.time_s == pytest.approx(1.41, abs=0.01)


def test_a_touch_on_an_engraved_aperture_turns_the_ring_there(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    desk, ring = hands.window.room.darkroom.desk, hands.enlarger.ring
    desk.set("f_number", 8.0)
    label = next(one for one in hands.frame().labels if one.words == "11" and ring.rect.contains(one.rect))
    for kind in ("move", "down", "up"):
        hands.window.handle(Pointer(kind, label.rect.center, 0 if kind == "move" else 1))  # type: ignore[arg-type]
    assert desk.now.f_number == 11.0
    hands.touch("aperture")
    assert desk.now.f_number == 11.0, "a touch on what stands under the index changes nothing"
    at = hands.where("aperture")
    hands.drag((at.x + 20, at.centery), (at.x + 60, at.centery))
    turned = desk.now.f_number
    assert turned != 11.0
    hands.window.hands.put_focus(ring)
    hands.press("return")
    assert desk.now.f_number == turned, "Enter means no place that a hand has left"


def test_only_ones_own_print_is_marked_in_the_ring(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.window.room.darkroom.desk.set("time_s", 4.0)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(5.0)
    hands.develop()
    hands.press("w")
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    hands.touch("print 1", (0.5, 0.5))
    hands.press("r")
    hands.frame(0.2, times=3)
    assert hands.words.count("your print") == 1
    assert "2 · 4.0 s: your print" in hands.words


def test_a_short_caption_keeps_that_the_piece_came_out_early(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.window.room.darkroom.desk.set("time_s", 2.0)
    hands.press("t")
    hands.press("r")
    hands.press("space")
    hands.wait(5.0)
    hands.press("return")
    hands.frame(times=2)
    hands.wait(20.0)
    for key in ("return", "k", "return", "w"):
        hands.press(key)
    canvas = hands.frame(0.2, times=3)
    captions = [one.words for one in canvas.labels if one.words.startswith("strip 1") or "out after" in one.words]
    assert any("out after 20 s" in words for words in captions), captions


def test_in_a_lesson_the_teacher_points_at_the_way_on_and_no_rim_is_drawn(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.begin_lesson().predict("right")
    hands.expose_sheet()
    assert next_act(hands.window.room) == ""
    assert hands.window.find("trays") == hands.where("way on")
    hands.touch("way on")
    hands.frame(times=2)
    tray = hands.window.room.darkroom.tray
    assert (hands.place, tray.stage) == ("trays", "developer")
    assert "yours to say" in hands.said


def test_what_has_to_be_said_first_is_asked_before_one_walks_to_the_trays(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.begin_lesson()
    hands.expose_sheet()
    hands.touch("way on")
    hands.frame(times=2)
    assert hands.place == "enlarger"
    assert hands.said
    assert hands.window.room.darkroom.paper.piece is not None


def test_steps_of_a_strip_that_was_thrown_away_are_not_the_next_sheets(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.window.room.darkroom.desk.set("time_s", 2.0)
    hands.press("t")
    hands.frame()
    hands.touch("strip kind")
    for key, seconds in (("space", 2.0), ("delete", 0.2), ("s", 0.2), ("space", 3.0)):
        hands.press(key)
        hands.wait(seconds)
    assert hands.window.room.darkroom.paper.strip_to_come is None
    assert hands.enlarger.way_on.there
    assert next_act(hands.window.room) == "way on", "a strip in the bin is no print: the rim goes on leading"
