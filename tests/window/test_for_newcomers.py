"""What people who came to the room for the first time stumbled over, done again by hands: names, clocks, edges, numbers."""

from __future__ import annotations

import math
import threading
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pygame
import pytest
from hands_in_room import Hands, in_room
from pygame import Rect
from test_notebook_in_room import _sheet, book

from sim.scoring.advice_facts import Advice, Evidence
from sim.scoring.marks import Mark
from sim.window import main_loop
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.at_the_trays import AtTheTrays
from sim.window.standing.at_the_wall import AtTheWall
from sim.window.teacher.hands_shown import Act
from sim.window.teacher.lines import advice_in
from sim.window.teacher.note import Note
from sim.window.teacher.on_print import _named
from sim.window.teacher.working_out import WorkingOut
from sim.window.things.card_drawing import shadow_edge
from sim.window.things.cupboard import Cupboard
from sim.window.things.trays import bath_words
from sim.window.things.wall_drawing import step_plates
from sim.words import Words
from tests.bench.darkrooms import shadow_now

SIZES = (((1280, 800), 1.0), ((1280, 800), 1.5), ((1920, 1200), 1.0))


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings", exports=str(tmp_path / "pages"))


def _sized(hands: Hands, size: tuple[int, int], scale: float) -> Canvas:
    hands.window.room.preferences = replace(hands.window.room.preferences, scale=scale)
    hands.window.resize(size)
    hands.surface = pygame.Surface(size)
    return hands.frame(0.05)


def test_the_names_of_negatives_are_never_cut(hands: Hands) -> None:
    hands.press("b")
    over = hands.window.over
    assert isinstance(over, Cupboard)
    for size, scale in SIZES:
        canvas = _sized(hands, size, scale)
        whole = {label.words for label in canvas.labels if not label.shortened}
        seen = [sleeve for sleeve in over.sleeves if sleeve.shown]
        assert seen
        for sleeve in seen:
            lines = hands.window.room.look.wrapped(sleeve.name(), sleeve.rect.w, "small")
            assert set(lines) <= whole, (sleeve.name(), size, scale)
            assert " ".join(lines) == sleeve.name()


def test_a_word_wider_than_its_room_goes_on_in_the_next_line(hands: Hands) -> None:
    look = hands.window.room.look
    name = "scan-of-a-very-long-roll-without-a-single-space"
    lines = look.wrapped(f"a {name}", 90, "small")
    assert "".join(lines).removeprefix("a") == name
    assert all(look.width(line, "small") <= 90 for line in lines)
    assert look.wrapped(name, look.width(name, "small"), "small") == [name]
    assert len(look.wrapped(name, look.width(name, "small") - 1, "small")) == 2


def test_titles_in_the_notebook_and_on_the_note_stand_whole(hands: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    room = hands.window.room
    note = Note(room, lambda: None)
    note.words, note.title, note.count = "Look first.", "A first sheet, through every bath", "4 / 6 · not yet passed"
    note.lay_out(Rect(0, 0, 900, 600), Rect(400, 300, 60, 60), [], [], [], None, Rect(0, 0, 0, 0))
    canvas = Canvas(pygame.Surface((900, 600)), room.look)
    note.draw(canvas)
    said = " ".join(label.words for label in canvas.labels)
    assert note.title in said
    assert note.count in said
    assert not any(label.shortened for label in canvas.labels)
    _sheet(room.darkroom, 6.0)
    over = book(hands)
    words = "sheet 1 · 00 10.0 s + 5 6.0 s · held back · burnt in · out after 30 s"
    monkeypatch.setattr(over, "said", lambda leaf: words)
    hands.window.lay_out()
    canvas = hands.frame()
    mark = over.marks[0].rect
    drawn = [label for label in canvas.labels if mark.contains(label.rect.inflate(0, -2))]
    assert " ".join(label.words for label in drawn) == words
    assert not any(label.shortened for label in drawn)


def _in_bath(hands: Hands, bath: str) -> AtTheTrays:
    dark = hands.window.room.darkroom
    dark.desk.set("focus_light", False)
    dark.paper.take("sheet")
    dark.paper.expose(6.0)
    dark.tray.put_in()
    while dark.tray.stage != bath:
        dark.tray.next()
    hands.press("alt+3")
    place = hands.window.place
    assert isinstance(place, AtTheTrays)
    return place


def test_what_one_minds_at_the_trays_lies_over_none_of_them(hands: Hands) -> None:
    place = _in_bath(hands, "fix")  # trays at both sides
    cautions = hands.window.room.line("cautions")
    for size, scale in SIZES:
        canvas = _sized(hands, size, scale)
        lines = [label for label in canvas.labels if label.words and label.words in cautions and len(label.words) > 20]
        assert lines, (size, scale)
        assert not any(label.rect.colliderect(place.trays.rect) for label in lines)
        assert hands.cut() == []


def test_baths_take_real_seconds_until_somebody_asks_for_a_faster_clock(hands: Hands) -> None:
    _in_bath(hands, "developer")
    tray = hands.window.room.darkroom.tray
    before = tray.seconds
    hands.wait(4.0)
    assert tray.seconds - before == pytest.approx(4.0)
    assert "real seconds" in hands.words
    hands.press("x")
    hands.wait(1.0)
    assert tray.seconds - before == pytest.approx(12.0)
    assert "8 × as fast" in hands.words
    hands.press("alt+2")
    hands.frame()
    assert "8 × as fast" in hands.words, "it is shown from wherever one stands"


def test_the_clock_says_what_its_seconds_mean(hands: Hands) -> None:
    hands.window.room.darkroom.desk.set("development_time_s", 40.0)
    place = _in_bath(hands, "developer")
    hands.frame()
    assert "set 0:40 · full 1:00" in hands.words
    assert "The full time of this paper is 1:00" in place.clock.about()
    tray = hands.window.room.darkroom.tray
    for bath, meant in (("stop", "of 0:15 in the acid"), ("fix", "of 0:45 before white light"), ("wash", "a first rinse")):
        tray.next()
        hands.frame()
        assert tray.stage == bath
        assert meant in bath_words(hands.window.room)
        assert meant.split(" ")[0] in hands.words
    assert "The long wash waits" in place.clock.about()


@pytest.mark.parametrize("key", ["1", "3", "5", "6"])
def test_what_the_eye_takes_for_a_cards_edge_is_where_half_of_the_light_is_held_back(hands: Hands, key: str) -> None:
    hands.press("s")
    hands.press(key)
    easel, dark = hands.enlarger.easel, hands.window.room.darkroom
    hands.point(easel.rect.center)
    if key == "1":
        hands.wheel("easel", 8)
    hands.frame()
    held = hands.window.room.standing.card
    assert held is not None
    edge = shadow_edge(easel.plan, held, easel.shadow_scale(held.card_height_mm))
    grid, region = dark.easel.view_grid(easel.rect.size, easel.plan.region_mm)
    light = shadow_now(dark, grid, region, easel.poses())
    looked = 0
    middle = easel.plan.to_px(held.x_mm, held.y_mm)
    for x, y in edge:
        towards = math.degrees(math.atan2(y - middle[1], x - middle[0]))
        row, col = round(y) - easel.rect.y, round(x) - easel.rect.x
        if not (0 <= row < grid.rows and 0 <= col < grid.cols) or abs(towards - 45.0) < 15.0:  # there the wire lies
            continue
        looked += 1
        assert 0.25 < light[row, col] < 0.75, (x, y)
        lamp, there = hands.window.room.look.colour("lamp"), hands.surface.get_at((round(x), round(y)))
        assert max(abs(a - b) for a, b in zip(lamp, there)) < 170, "and there a line is drawn"
    if key == "5":  # its corners lie far outside: along the line half of the light comes
        row = easel.plan.to_px(held.x_mm, held.y_mm)[1] - easel.rect.y
        assert 0.3 < light[row, grid.cols // 2] < 0.7
    else:
        assert looked > 3


def _hung(rects: dict[int, Rect]) -> Any:
    steps = tuple(SimpleNamespace(number=n, time_s=3.0 * n, x_mm=25.0, y_mm=40.0 * n) for n in (1, 2, 3))
    prints = {1: SimpleNamespace(strip_steps=steps, width_mm=50.0, height_mm=200.0)}
    pins = [SimpleNamespace(number=n) for n in rects]
    return SimpleNamespace(
        prints=prints, room=SimpleNamespace(number=lambda value: f"{value:.1f}"), area=Rect(0, 0, 1000, 600),
        hanging=lambda: pins, rect=lambda pin: rects[pin.number],
    )  # fmt: skip


def test_a_strips_seconds_never_run_onto_the_print_beside_it(hands: Hands) -> None:
    look = hands.window.room.look
    strip = Rect(300, 50, 100, 400)
    alone = step_plates(_hung({1: strip}), 1, strip, look)
    assert all(plate.x >= strip.right for plate in alone), "at the right, where there is room"
    ends = alone[0].right
    for x, side in ((ends, "right"), (ends - 1, "left")):
        found = step_plates(_hung({1: strip, 2: Rect(x, 50, 300, 400)}), 1, strip, look)
        assert all((plate.x >= strip.right) is (side == "right") for plate in found), x
        assert all((plate.right <= strip.x) is (side == "left") for plate in found), x
    between = {1: strip, 2: Rect(ends - 1, 50, 300, 400), 3: Rect(0, 50, strip.x - 10, 400)}
    bare = step_plates(_hung(between), 1, strip, look)
    assert all(strip.right <= plate.x and plate.right < ends for plate in bare), "the number alone has room"
    between[2] = Rect(strip.right + 10, 50, 300, 400)
    assert all(strip.contains(plate) for plate in step_plates(_hung(between), 1, strip, look))


SHOWN_BY = Evidence(("bottle-body",), 0.58, -1.29)
PULLED = Advice("development", "longer-development", 0.78, "share of completion", evidence=(SHOWN_BY,))


def _mark(kind: str, place: str) -> Mark:
    return Mark(place, kind, place, 0.06, 0.13, 0.02, "density", 0.0, 0.0, 2.0)


def test_outline_and_number_are_those_of_the_place_that_a_line_names() -> None:
    from sim.notebook.advice_words import advice_words

    run: Any = SimpleNamespace(exam=False, words=Words(), readings=lambda n: ((), (PULLED,)), holds=lambda n: ())
    step: Any = SimpleNamespace(stage="predict", marks=None, readings=("one",), sheet=1, advice=())
    said = advice_words(PULLED, Words())
    assert "1.29 too light" in said
    assert advice_in(run, step, f"Yes. {said}") is PULLED
    assert advice_in(run, step, "Before you develop anything: what will it show?") is None
    marks = (_mark("tone", "egg"), _mark("black", "bottle-body"))
    assert [mark.place for mark in _named(marks, "Measured: the egg is lighter than wanted.")] == ["egg"]
    assert [mark.place for mark in _named(marks, said)] == ["bottle-body"]
    assert _named(marks, "What do you see?") == marks, "a line that names none leaves all of them outlined"


def _wall(hands: Hands) -> AtTheWall:
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    place = hands.window.place
    assert isinstance(place, AtTheWall)
    return place


def test_a_tone_that_was_touched_is_let_go_again(hands: Hands) -> None:
    dark = hands.window.room.darkroom
    _sheet(dark, 0.0, kind="strip")
    wall = _wall(hands).wall
    for back in ("touch", "escape"):
        hands.touch("print 1", (0.5, 0.5))
        assert wall.point is not None
        assert 1 in wall.steps
        if back == "escape":
            hands.press("escape")
        else:
            hands.touch("wall", (0.02, 0.05))
        assert (wall.point, wall.reading, wall.steps) == (None, None, {}), back
        hands.frame()
        assert "this time" not in {name for name, _ in (hands.canvas or hands.frame()).hits}


def test_what_was_said_of_the_print_to_come_can_be_said_otherwise_until_it_is_developed(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.window.open_exercise("a-print-of-your-own")
    hands.frame(times=2)
    run, teacher = hands.window.room.lesson, hands.window.teacher
    assert run is not None
    run.begin()
    hands.frame(times=2)
    spot = next(one for one in teacher.there if not one.step)
    hands.touch(spot.id)
    assert teacher.pointed
    hands.press("escape")
    hands.frame()
    assert teacher.pointed == ""
    assert run.prediction == "", "pointing alone says nothing"
    place = spot.key_said
    hands.touch(spot.id)
    hands.touch(f"answer {place}=darker")
    hands.frame(times=2)
    hands.touch("note on") if "say anew" not in {name for name, _ in hands.frame().hits} else None
    for answer, back in (("", True), ("right", False)):
        hands.touch("say anew")
        hands.frame()
        if back:
            hands.press("escape")
        else:
            hands.touch(f"answer {answer}")
        hands.frame(times=2)
        hands.touch("note on") if "note on" in {name for name, _ in hands.frame().hits} else None
        assert run.prediction == (f"{place}=darker" if back else answer)
    assert run.stage == "make"


def test_a_print_comes_to_the_wall_beside_the_window_and_it_is_said_meanwhile(
    hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    dark, gate = hands.window.room.darkroom, threading.Event()
    _sheet(dark, 6.0)
    make = dark.wall.picture_maker(1, (60, 80))
    monkeypatch.setattr(dark.wall, "picture_maker", lambda *asked: lambda: (gate.wait(20.0), make())[1])
    hands.window.room.work.at_once = False
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    assert "the print comes to the wall" in hands.words, "the frame is there, and says what it waits for"
    gate.set()
    for _ in range(200):
        if not hands.window.room.work.busy:
            break
        hands.window.update(0.02)
        threading.Event().wait(0.02)
    hands.frame(0.2, times=2)
    assert "the print comes to the wall" not in hands.words


def test_readings_and_marks_are_worked_out_beside_the_window_and_a_fault_is_said(hands: Hands) -> None:
    room = hands.window.room
    room.work.at_once = False
    work, gate, kept = WorkingOut(room), threading.Event(), list[str]()

    def job() -> Any:
        gate.wait(20.0)
        return lambda: kept.append("read")

    state = SimpleNamespace(nominated_line=0)
    run: Any = SimpleNamespace(stage="explain", made=1, evening=SimpleNamespace(state=state), exam=False, due=lambda: job)
    assert not work.ready(run, True)
    assert not work.ready(run, True), "asked in every frame, begun once"
    assert room.work.words == [room.line("reading it")]
    gate.set()
    room.work.close()
    follow = room.work.finished()
    assert follow is not None
    assert room.guarded(follow)
    assert kept == ["read"]

    def spoilt() -> Any:
        raise ValueError("the negative is gone")

    again = WorkingOut(room)
    room.work.at_once = True
    run.due = lambda: spoilt
    assert not again.ready(run, True)
    follow = room.work.finished()
    assert follow is not None
    assert not room.guarded(follow)
    assert "negative is gone" in hands.said
    assert again.ready(run, True), "it is not tried in every frame again"
    run.stage, run.due = "see", lambda: job
    assert again.ready(run, True), "while one looks nothing is waited for"


def test_a_flash_is_given_by_the_foot_with_the_opal_sheet_under_the_lens(hands: Hands) -> None:
    dark = hands.window.room.darkroom
    dark.desk.set("time_s", 10.0)
    for key in ("s", "o"):
        hands.press(key)
    hands.frame()
    assert hands.enlarger.foot_plate.now() == "Flash 10.0 s"
    hands.touch("opal sheet")
    assert not dark.desk.now.opal_sheet, "by hand as well as by its key"
    hands.press("o")
    dark.desk.set("time_s", 2.0)
    hands.press("space")
    hands.wait(3.0)
    assert "flash 2.0 s of light on the paper" in hands.said
    hands.press("o")
    dark.desk.set("time_s", 6.0)
    hands.press("space")
    hands.wait(7.0)
    assert "6.0 s + flash 2.0 s of light" in hands.said
    record = dark.paper.record()
    assert [(e.through, round(e.time_s, 1), e.dimmed_stops) for e in record.exposures] == [
        ("negative", 6.0, 0.0), ("open", 2.0, 5.0)
    ]  # fmt: skip


def test_a_planned_flash_swings_the_opal_sheet_in_and_the_picture_swings_it_out(hands: Hands) -> None:
    dark = hands.window.room.darkroom
    dark.desk.set("time_s", 1.0)
    for key in ("o", "a", "o", "a"):
        hands.press(key)
    assert [one.through for one in dark.paper.plan] == ["open", "negative"]
    canvas = hands.frame()
    assert "flash" in [label.words for label in canvas.labels]
    hands.press("space") if dark.desk.now.focus_light else None
    hands.press("s")
    hands.press("space")
    assert dark.desk.now.opal_sheet
    hands.wait(2.0)
    hands.press("space")
    assert not dark.desk.now.opal_sheet
    hands.wait(2.0)
    assert [e.through for e in dark.paper.record().exposures] == ["negative", "open"]
    assert dark.desk.would_undo == ("time_s",), "what is swung is no step to be taken back"


def test_nothing_is_held_any_more_once_the_keyboard_is_elsewhere(hands: Hands) -> None:
    window, dark = hands.window, hands.window.room.darkroom
    dark.desk.set("time_s", 10.0)
    hands.press("s")
    hands.press("2")
    hands.point(hands.enlarger.easel.rect.center)
    down = {"space"}
    window.handle(Key("space", True))
    assert dark.paper.exposing
    hands.wait(1.0)
    lost = pygame.event.Event(main_loop.FOCUS_LOST)
    main_loop._take(window, lost, down, (1280, 800))
    assert down == set(), "a key whose letting go was never told is up"
    card = window.room.standing.card
    assert card is not None
    assert not card.over
    assert "out of the light" in hands.said
    hands.wait(10.0)
    exposure = dark.paper.record().exposures[0]
    assert exposure.time_s == pytest.approx(10.0, abs=0.05), "the timer, which no hand holds, has ended it"
    assert all(one.stop_s < 2.0 for one in exposure.cards)
    window.handle(Key("space", True))
    assert dark.paper.exposing, "the foot finds its switch again"


def test_what_was_being_dragged_stands_as_before_once_the_keyboard_is_elsewhere(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    stood, head = desk.now.height_mm, hands.where("head")
    hands.drag(head.center, (head.centerx, head.centery - 40), let_go=False)
    assert desk.now.height_mm != stood
    hands.window.let_go()
    assert desk.now.height_mm == stood
    hands.window.handle(Pointer("move", (head.centerx, head.centery + 60)))
    assert desk.now.height_mm == stood


def test_the_hands_of_an_example_say_what_they_turn_and_to_what(hands: Hands) -> None:
    shown = hands.window.teacher.hands
    for at, turned, said in (
        ("timer", ("time_s", 12.4), "Timer: 12.4 s"), ("aperture", ("f_number", 8.0), "Aperture: f/8"),
        ("filter", ("filter", "2.5"), "Filters: 2½"), ("head", ("height_mm", 612.0), "Head: 612 mm"),
        ("opal sheet", None, "Opal sheet"), ("print 3", None, "Print"), ("trays", None, "Trays"),
    ):  # fmt: skip
        shown.acts = (Act(at, "…", 2.0, turned),)
        assert shown.caption == said
        inside = hands.window.place.area
        covered = shown.covers(inside)
        assert covered.w > hands.window.room.look.width(said, "strong")


