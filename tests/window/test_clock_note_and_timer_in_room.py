"""The trays' clock, a lesson's note, foot, timer and plan by scripted hands: what they say, and where they stand."""

from __future__ import annotations

from pathlib import Path

import pygame
import pytest
from hands_in_room import Hands, in_room

from sim.notebook.exposure_plan import PlannedExposure
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.standing.at_the_trays import AtTheTrays
from sim.window.teacher.folded import FoldedNote
from sim.window.teacher.note import draw_thread


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def _lesson(tmp_path: Path, slug: str = "first-session", size: tuple[int, int] = (1088, 700)) -> Hands:
    hands = in_room(tmp_path, size, evening=False)
    hands.window.open_exercise(slug)
    hands.frame(times=3)
    return hands


def _into_developer(hands: Hands, seconds: float = 3.0) -> AtTheTrays:
    hands.window.room.darkroom.desk.set("time_s", seconds)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(seconds + 0.8)
    for key in ("alt+3", "return"):
        hands.press(key)
    hands.frame()
    place = hands.window.place
    assert isinstance(place, AtTheTrays)
    return place


# --- the clock of the trays ------------------------------------------------------------------------------------------


def test_the_clock_says_set_and_full_time_and_only_the_full_one_is_its_time(tmp_path: Path) -> None:
    hands = in_room(tmp_path, (1088, 700), evening=False)
    hands.begin_lesson().predict("right")
    hands.expose_sheet()
    for key in ("alt+3", "return"):
        hands.press(key)
    hands.frame()
    place, tray = hands.window.place, hands.window.room.darkroom.tray
    assert isinstance(place, AtTheTrays)
    assert "the lesson set 0:40 · full 2:00" in hands.words.replace("  ", " ")
    assert "developer 0:40" not in hands.words, "nothing offers what the lesson teaches against"
    hands.press("k")
    assert "lift it out yourself" in hands.said
    assert tray.stage == "developer"
    assert "full time of this paper is 2:00" in place.clock.about()
    hands.wait(40.4)
    assert "the 0:40 that were set are over, the paper's full time is 2:00" in hands.said
    assert "has had its time" not in hands.said
    assert not place.clock.over, "no tick: it would come out early"
    hands.wait(60.0)
    assert not place.clock.over
    hands.wait(20.0)
    assert place.clock.over
    assert "has had its time" in hands.said
    hands.press("return")
    assert "early" not in hands.said
    assert tray.stage == "stop"


def test_who_follows_the_shorter_time_is_told_that_the_sheet_comes_out_early(hands: Hands) -> None:
    hands.window.room.darkroom.desk.set("development_time_s", 40.0)
    _into_developer(hands)
    hands.wait(40.4)
    hands.press("return")
    assert "the paper's full time is 1:00: the blacks will be short" in hands.said


def test_in_a_cold_bath_the_time_of_the_papers_sheet_is_not_its_end(hands: Hands) -> None:
    hands.window.room.darkroom.desk.set("temperature_c", 14.0)
    place = _into_developer(hands)
    hands.wait(61.0)
    assert "has had its time" not in hands.said
    assert "a tired or cold bath builds more slowly" in hands.said
    assert not place.clock.over


def test_a_clock_over_empty_trays_is_at_rest(hands: Hands) -> None:
    hands.press("alt+3")
    hands.frame()
    assert "It waits for a sheet, then runs in real seconds." in hands.words.replace("  ", " ")


# --- what a lesson says ----------------------------------------------------------------------------------------------


def _note_hides(hands: Hands) -> list[str]:
    """Return what the open note lies over, of all that can be touched or is looked at."""
    teacher, place = hands.window.teacher, hands.window.place
    if teacher.is_folded or teacher.note not in teacher.things():
        return []
    things = [(one.id, one.rect) for one in place.things() if one.shown and not one.large]
    looked = [("looked at", rect) for rect in place.kept_clear()]
    return [name for name, rect in (*things, *looked) if rect.w and rect.colliderect(teacher.note.rect)]


@pytest.mark.parametrize("size", [(1088, 700), (1024, 700), (1280, 800)])
def test_what_a_lesson_says_hides_nothing_that_is_used_or_looked_at(tmp_path: Path, size: tuple[int, int]) -> None:
    hands = _lesson(tmp_path, size=size)
    run = hands.window.room.lesson
    assert run is not None
    opened = 0
    for place in ("alt+2", "alt+3", "alt+4", "alt+2"):
        hands.press(place)
        for _ in range(4):
            hands.frame(times=2)
            assert _note_hides(hands) == [], (place, size, hands.window.teacher.note.words)
            opened += not hands.window.teacher.is_folded
            hands.press("j")
    assert opened >= 8, "it folds only where there is no other place"
    for _ in range(40):  # more than any brief has leaves
        if not hands.window.teacher.note.words or run.stage != "brief":
            break
        hands.press("j")
        hands.frame(times=2)
    else:
        pytest.fail("the brief does not end")
    hands.window.teacher.say("right") if run.stage == "predict" and not run.prediction else None
    hands.press("alt+2")
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(11.0)
    hands.develop()
    hands.press("w")
    for _ in range(4):
        hands.frame(0.2, times=3)
        assert _note_hides(hands) == []
        hands.press("j")


def test_a_note_without_a_place_folds_to_a_line_that_opens_by_a_touch(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = _lesson(tmp_path)
    teacher = hands.window.teacher
    assert not teacher.is_folded
    monkeypatch.setattr(teacher, "_kept_clear", lambda: [hands.window.place.area])  # something is everywhere
    hands.window.lay_out()
    hands.frame(times=2)
    assert teacher.is_folded
    tab = hands.where("note folded")
    assert tab.y >= hands.window.place.area.bottom, "in the line at the foot, over no thing"
    assert isinstance(teacher.folded, FoldedNote)
    hands.touch("note folded")
    assert "note on" in {name for name, _ in hands.frame().hits}
    hands.press("y")
    assert teacher.is_folded


def test_the_thread_of_a_note_runs_over_no_other_thing() -> None:
    def drawn(between: list[pygame.Rect]) -> bool:
        surface = pygame.Surface((400, 200))
        canvas = Canvas(surface, Look())
        draw_thread(canvas, pygame.Rect(0, 80, 50, 50), pygame.Rect(350, 80, 40, 40), pygame.Rect(0, 0, 400, 200), between)
        return surface.get_at((200, 100))[:3] != (0, 0, 0) or surface.get_at((200, 105))[:3] != (0, 0, 0)

    assert drawn([])
    assert not drawn([pygame.Rect(150, 50, 100, 100)])


def test_begin_anew_asks_first_and_forgets_it_when_the_hand_goes_elsewhere(tmp_path: Path) -> None:
    hands = _lesson(tmp_path)
    room, teacher = hands.window.room, hands.window.teacher
    before = room.darkroom.folder
    teacher.once_more.pressed()
    assert "Touch again" in teacher.once_more.name()
    assert room.darkroom.folder == before
    teacher.once_more.left()
    assert "Touch again" not in teacher.once_more.name()
    teacher.once_more.pressed()
    teacher.once_more.pressed()
    hands.frame(times=3)
    assert room.darkroom.folder != before


# --- foot, timer, plan -----------------------------------------------------------------------------------------------


def test_the_foot_says_orders_and_the_state_stands_beside(hands: Hands) -> None:
    foot, desk = hands.enlarger.foot_plate, hands.window.room.darkroom.desk
    assert desk.now.focus_light
    assert foot.now() == "Switch off"
    assert foot.about().startswith("The lamp is on. Over paper")
    hands.press("space")
    assert foot.now() == "Switch on"
    assert foot.about().startswith("The lamp is off. Over paper")
    hands.frame()
    assert "lamp off" in hands.words
    hands.press("s")
    desk.set("time_s", 12.0)
    assert foot.now() == "Expose 12.0 s"


def test_the_timer_shows_what_will_be_given_not_an_old_dial(hands: Hands) -> None:
    room, timer = hands.window.room, hands.enlarger.timer
    room.darkroom.desk.set("time_s", 36.0)
    hands.press("s")
    room.darkroom.paper.set_plan([PlannedExposure(12.0, 8.0, "00"), PlannedExposure(9.0, 8.0, "5")])
    hands.frame()
    assert timer.seconds.now() == "12.0 s"
    assert timer.below() == "planned, 00 · dial 36.0 s"
    assert "12.0 s" in hands.enlarger.foot_plate.now()
    hands.press("space")
    hands.wait(13.0)
    assert timer.seconds.now() == "9.0 s"


def test_on_a_strip_the_foot_gives_the_steps_before_the_plan_and_says_so(hands: Hands) -> None:
    room, enlarger = hands.window.room, hands.enlarger
    room.darkroom.desk.set("time_s", 8.0)
    room.darkroom.paper.set_plan([PlannedExposure(6.0, 8.0, "00")])
    hands.press("t")
    hands.frame()
    assert enlarger.timer.seconds.now() == "16.0 s", "two stops below and above the dialled time: the last step's light"
    assert "after the steps of the strip" in enlarger.plan.frames[0].now()
    hands.touch("strip kind")
    assert enlarger.foot_plate.now() == "Expose 4.0 s", "the first of five places, and it is what the foot gives"
    assert enlarger.timer.below() == "light 1 of 5 · dial 8.0 s"
    hands.press("space")
    hands.wait(5.0)
    assert enlarger.timer.below().startswith("light 2 of 5")
    assert "Light 1 of 5 has been given" in hands.said, "it is not sent on before the strip has all its steps"


def test_stops_count_seconds_and_aperture_and_nothing_across_filters(hands: Hands) -> None:
    desk, timer = hands.window.room.darkroom.desk, hands.enlarger.timer
    timer.last = PlannedExposure(10.0, 8.0, desk.now.filtration.name)
    desk.set("time_s", 10.0)
    desk.set("f_number", 8.0)
    assert timer.stops() == "light as before"
    desk.set("f_number", 11.0)
    assert timer.stops() == "−1.00 stop of light"
    desk.set("time_s", 20.0)
    assert timer.stops() == "light as before"
    desk.set("filter", "5" if desk.now.filter != "5" else "00")
    assert timer.stops() == ""


def test_the_field_of_seconds_cuts_no_words_below_it(hands: Hands) -> None:
    timer = hands.enlarger.timer
    timer.last = PlannedExposure(3.0, 8.0, hands.window.room.darkroom.desk.now.filtration.name)
    hands.touch("seconds")
    canvas = hands.frame()
    below = [label for label in canvas.labels if label.words == timer.stops()]
    assert below
    assert not below[0].rect.colliderect(timer.seconds.rect)
    assert timer.rect.contains(below[0].rect)


def test_paper_thrown_away_leaves_the_whole_plan_for_the_next_sheet(hands: Hands) -> None:
    paper = hands.window.room.darkroom.paper
    paper.set_plan([PlannedExposure(2.0, 8.0, "00"), PlannedExposure(3.0, 8.0, "5")])
    hands.press("s")
    hands.press("space")
    hands.wait(3.0)
    assert len(hands.enlarger.plan.waiting()) == 1
    hands.press("delete")
    hands.press("s")
    hands.frame()
    assert [one.time_s for one in hands.enlarger.plan.waiting()] == [2.0, 3.0]


def test_choices_of_a_strip_keep_their_places_when_one_vanishes(hands: Hands) -> None:
    hands.press("t")
    hands.frame()
    names = [f"strip {one}" for one in ("kind", "steps", "apart", "way")]
    before = [hands.where(name).topleft for name in names]
    hands.touch("strip kind")
    assert "strip hand" not in {name for name, _ in hands.frame().hits}
    assert [hands.where(name).topleft for name in names] == before
