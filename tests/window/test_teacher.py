"""The teacher beside you: one line beside the thing it means, answers by touch, nothing read before it was looked at."""

from __future__ import annotations

from pathlib import Path

from hands_in_room import Hands, in_room
from learners import WithTheMouse

from sim.window.preferences import Preferences
from sim.window.standing.lesson_sayings import LESSON_ABOUT_WORDS, LESSON_LINE_WORDS, LESSON_NAME_WORDS
from sim.window.standing.sayings import ABOUT_WORDS, LINE_WORDS, NAME_WORDS
from sim.window.teacher.note import HIGHEST
from sim.window.teacher.on_print import HOLDS, _hull
from sim.window.teacher.spots import bands
from sim.window.teacher.target import possible_at, target_of


def _begun(folder: Path, lesson: str = "time-from-a-strip", **more: object) -> Hands:
    hands = in_room(folder, evening=False, **more)  # type: ignore[arg-type]
    hands.window.room.today = 20_000
    hands.window.open_exercise(lesson)
    hands.frame()
    hands.frame()
    assert hands.window.room.lesson is not None, hands.said
    return hands


def test_a_line_means_the_thing_it_names_first_and_never_a_locked_one() -> None:
    free = ("time_s",)
    assert target_of("Cut a strip and lay it on the white cup.", free) == "strips"
    assert target_of("Filter and aperture are locked: how long must the lamp burn?", free) == "timer"
    assert target_of("Filter and aperture are locked: how long must the lamp burn?", ("filter", "time_s")) == "filter"
    assert target_of("Use tongs or gloves.", free) == "trays"
    assert target_of("In white light, look first, then read.", free) == "counts"
    assert target_of("On the easel lies a normal negative.", free) == "easel"


def test_the_first_lesson_begins_with_the_lamp_on_and_its_first_line(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    assert hands.place == "enlarger"
    assert hands.window.room.darkroom.easel.lit
    assert "On the easel lies a normal negative" in hands.window.teacher.note.words
    assert "1 / 6" in hands.words


def test_one_line_at_a_time_gone_when_sent_away_and_back_on_asking(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    first = hands.window.teacher.note.words
    hands.touch("note on")
    assert hands.window.teacher.note.words != first
    hands.touch("note away")
    assert "note" not in {name for name, _ in hands.frame().hits}
    hands.press("y")
    assert "note" in {name for name, _ in hands.frame().hits}


def test_a_line_leaves_when_what_it_asks_is_done(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.window.open_exercise("strip-in-stops")
    hands.frame(times=3)
    hands.touch("note on")
    line = hands.window.teacher.line
    assert line is not None
    assert line.at == "strips"
    hands.press("t")
    hands.frame()
    after = hands.window.teacher.line
    assert after is not None
    assert after is not line


def test_a_line_of_the_slot_leads_to_a_strip_and_then_to_how_it_is_laid(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    hands.touch("note on")
    line, room = hands.window.teacher.line, hands.window.room
    assert line is not None
    assert "card with a slot" in line.words
    assert possible_at(room, line.at) == "strips", "a strip first, then how it is laid"
    hands.press("t")
    hands.frame()
    assert possible_at(room, line.at) == "strip kind"
    hands.touch("strip kind")
    hands.frame()
    assert "slot over one place" in hands.words, "in the lesson's own words, one touch away"


def test_the_task_hangs_in_the_room_from_everywhere(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    for place in ("enlarger", "trays", "wall"):
        hands.touch(f"to {place}")
        hands.touch("task")
        hands.frame()
        assert "5 sheets, 30 minutes" in hands.words
        assert "White cup: density at this place, 0.12 ± 0.015 · 6 points" in hands.words
        assert hands.cut() == []
        hands.press("escape")
        hands.frame()


def test_the_task_asks_for_a_black_in_the_density_that_the_wall_tells(tmp_path: Path) -> None:
    hands = _begun(tmp_path, "first-session")
    hands.touch("task")
    hands.frame()
    (aim,) = [one for one in hands.words.split("\n") if "full black" in one] if isinstance(hands.words, str) else [
        one for one in hands.words if "full black" in one]
    assert "1.78 ± 0.05" in aim


def test_paper_of_ones_own_is_refused_while_the_lesson_makes_its_next_piece_itself(tmp_path: Path) -> None:
    """It could not be developed before that piece, nor go back once it had light: a way without an end."""
    hands = _begun(tmp_path)
    run = hands.window.room.lesson
    assert run is not None
    assert run.shown_next
    run.begin()
    hands.frame(times=3)
    for box in ("paper box", "strips"):
        hands.touch(box)
        hands.frame(times=2)
        assert hands.window.room.darkroom.paper.piece is None
        assert "made for you" in hands.words


def test_with_exposed_paper_of_ones_own_the_hands_say_what_to_do_with_it(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    learner, run = WithTheMouse(hands), hands.window.room.lesson
    assert run is not None
    hands.press("t")
    hands.press("space")
    hands.wait(20.0)
    run.begin()
    hands.frame()
    learner.answer("step-4")
    learner.on()
    hands.touch("show me")
    hands.frame()
    assert "throw it away" in hands.words
    assert not hands.window.teacher.hands.busy
    hands.press("delete")
    hands.touch("show me")
    assert hands.window.teacher.hands.busy


def test_hands_show_the_example_can_be_stopped_and_leave_the_bench_as_it_was(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    learner, teacher, run = WithTheMouse(hands), hands.window.teacher, hands.window.room.lesson
    assert run is not None
    run.begin()
    hands.frame()
    learner.answer("step-4")
    learner.on()
    before = hands.window.room.darkroom.desk.now
    hands.touch("show me")
    assert teacher.hands.busy
    hands.frame(0.25, times=6)
    assert hands.cut() == []
    hands.press("escape")
    assert not teacher.hands.busy
    hands.frame()
    assert run.made == 0
    assert hands.window.room.darkroom.desk.now == before
    hands.touch("show me")
    for _ in range(200):
        if not teacher.hands.busy:
            break
        hands.frame(0.25)
    assert run.made == 1
    assert hands.place == "wall"
    assert hands.window.room.light == "white"
    assert run.stage == "see"


def _seen(folder: Path) -> tuple[Hands, WithTheMouse]:
    hands = _begun(folder)
    learner, run = WithTheMouse(hands), hands.window.room.lesson
    assert run is not None
    run.begin()
    hands.frame()
    learner.answer("step-4")
    learner.on()
    hands.touch("at once")
    hands.frame()
    hands.frame()
    return hands, learner


def test_no_number_before_it_was_looked_at_then_tap_and_reading_stand_on_the_strip(tmp_path: Path) -> None:
    hands, _ = _seen(tmp_path)
    assert "you saw" not in hands.words
    hands.touch("print 1", (0.5, 0.95)) if "print 1" in {n for n, _ in hands.canvas.hits} else None  # type: ignore[union-attr]
    assert hands.window.room.lesson is not None
    if hands.window.room.lesson.stage == "see":
        wall = hands.window.teacher._wall()
        assert wall is not None
        assert not hands.window.room.guarded(lambda: wall.read(1, 10.0, 10.0))
        assert "Look first" in hands.said
        hands.touch("spot step-3", (0.5, 0.3))
    hands.frame()
    assert hands.window.room.lesson.stage == "explain"
    for words in ("you expected", "you saw", "measured"):
        assert words in hands.words
    assert hands.cut() == []


def test_hints_have_three_levels_and_a_piece_of_paper_between(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    hands.press("u")
    hands.frame()
    assert "Hint 1" in hands.window.teacher.note.words
    hands.press("u")
    assert "Try the last hint on a piece of paper first" in hands.said


def test_while_the_lamp_burns_nothing_stands_in_the_way(tmp_path: Path) -> None:
    hands = _begun(tmp_path)
    hands.press("s")
    hands.press("space")
    hands.frame()
    assert hands.window.room.burning
    assert hands.window.teacher.things() == []
    hands.wait(4.0)
    hands.frame()
    run = hands.window.room.lesson
    assert run is not None
    assert run.stage == "predict", "who has begun to work has read enough"
    assert hands.window.teacher.things()


def test_places_are_pointed_at_and_said_lighter_or_darker(tmp_path: Path) -> None:
    hands = _begun(tmp_path, "a-print-of-your-own")
    run, teacher = hands.window.room.lesson, hands.window.teacher
    assert run is not None
    run.begin()
    hands.frame()
    hands.frame()
    places = [spot for spot in teacher.there if not spot.step]
    assert places, "tones are asked for at places of the picture"
    place = places[0].key_said
    hands.touch(places[0].id)
    assert [one.key_said for one in teacher.answers] == [f"{place}={tone}" for tone in ("lighter", "right", "darker")]
    hands.touch(f"answer {place}=darker")
    assert run.prediction == f"{place}=darker"


def test_the_note_fits_at_every_size_and_in_the_longest_language(tmp_path: Path) -> None:
    import pygame

    hands = _begun(tmp_path)
    run = hands.window.room.lesson
    assert run is not None
    for size, scale, language in (((1024, 700), 1.0, "en"), ((1024, 700), 1.5, "en-XA"), ((1920, 1200), 2.5, "en")):
        hands.window.room.prefer(Preferences(scale=scale, reduced_motion=True, language=language))
        hands.window.resize(size)
        hands.surface = pygame.Surface(size)
        for _ in range(6):
            hands.frame()
            assert hands.cut() == [], (size, scale)
            note, area = hands.window.teacher.note.rect, hands.window.place.area
            assert area.contains(note)
            hands.press("j") if hands.window.teacher.index < 5 else None
        hands.window.teacher.index = 0


def test_a_steps_band_ends_half_way_to_its_neighbours() -> None:
    from pygame import Rect

    found = bands(Rect(10, 0, 90, 20), [(25, 10), (55, 10), (85, 10)])
    assert [(r.x, r.right) for r in found] == [(10, 40), (40, 70), (70, 100)]
    upright = bands(Rect(0, 0, 10, 60), [(5, 45), (5, 15)])
    assert [(r.y, r.bottom) for r in upright] == [(30, 60), (0, 30)], "in the steps' own order, from below"


def test_an_outline_goes_round_all_points_and_none_inside() -> None:
    hull = _hull([(0, 0), (2, 0), (2, 2), (0, 2), (1, 1)])
    assert sorted(hull) == [(0, 0), (0, 2), (2, 0), (2, 2)]


def test_thresholds_stand_where_they_are_meant() -> None:
    assert 0.99 < HOLDS < 1.0, "all the points, leaving room for arithmetic alone"
    assert HIGHEST <= 0.7, "a note leaves a third of the place free as long as a wider one can"


def test_no_words_of_lessons_and_room_share_a_key() -> None:
    for one, other in ((NAME_WORDS, LESSON_NAME_WORDS), (ABOUT_WORDS, LESSON_ABOUT_WORDS), (LINE_WORDS, LESSON_LINE_WORDS)):
        assert not set(one) & set(other)
