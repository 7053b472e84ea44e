"""The notebook: leaves of all evenings, found by negative and by words; printed again; pages go where the learner says."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.bench.darkroom import Darkroom
from sim.window.things.notebook import Notebook
from sim.window.things.other_size import OtherSize
from sim.window.things.shown_page import ShownPage


def _sheet(room: Darkroom, time_s: float, negative: str = "", kind: str = "sheet") -> None:
    room.desk.set("focus_light", False)
    if negative:
        room.desk.place_negative(negative)
    room.paper.take("strip" if kind == "strip" else "sheet")
    room.paper.lay_strip((4.0, 6.0, 9.0), angle_deg=90.0) if kind == "strip" else room.paper.expose(time_s)
    room.tray.put_in()
    room.tray.finish()
    room.tray.clear()


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    made = in_room(tmp_path / "evenings", exports=str(tmp_path / "pages"))
    for time_s in (6.0, 9.0):
        _sheet(made.window.room.darkroom, time_s)
    return made


def book(hands: Hands) -> Notebook:
    hands.press("f2")
    hands.frame(times=3)
    over = hands.window.over
    assert isinstance(over, Notebook), hands.said
    return over


def words(hands: Hands) -> str:
    return " ".join(label.words for label in hands.frame().labels)


def test_an_empty_evening_says_truly_that_nothing_was_printed(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    book(hands)
    assert "Nothing was printed in this evening yet." in words(hands)


def test_an_evening_that_cannot_be_read_is_named_and_all_others_are_there(tmp_path: Path) -> None:
    older = in_room(tmp_path / "evenings", exports=str(tmp_path / "pages")).window.room.darkroom
    _sheet(older, 6.0)
    older.close()  # let go, so that somebody else may look at it
    hands = in_room(tmp_path / "evenings", exports=str(tmp_path / "pages"))
    over = book(hands)
    (older.folder / "evening.jsonl").write_bytes(b"\xff\xfe no log of an evening")
    hands.touch("whose")
    hands.frame(times=3)
    assert "evening.jsonl" in hands.said, "refused by its name, not called a fault"
    assert older.folder not in over._kept
    assert hands.window.room.darkroom.folder in over._kept


def test_the_newest_leaf_lies_open_with_what_was_done_and_read(hands: Hands) -> None:
    over = book(hands)
    assert over.leaf is not None
    assert over.leaf.number == 2
    said = words(hands)
    assert "Sheet 2" in said
    assert "9.0 s" in said
    read = hands.window.room.darkroom.wall.read(2, *hands.window.room.darkroom.wall.places(2)[0][1:3])
    assert f"D {read.density:.2f}" in said
    hands.touch("leaf 1")
    hands.frame(times=2)
    assert over.leaf.number == 1
    hands.press("up")
    assert over.leaf.number == 2


def test_a_note_is_written_with_its_spaces_and_found_again(hands: Hands) -> None:
    over = book(hands)
    hands.touch("note")
    hands.write("too dark in the Cup")
    assert not hands.window.room.darkroom.paper.exposing, "the space bar writes where words are written"
    hands.press("return")
    assert hands.window.room.darkroom.evening.state.notes == ("sheet 2: too dark in the Cup",)
    assert "too dark in the Cup" in words(hands)
    hands.touch("find")
    hands.write("cup dark")
    hands.press("return")
    assert [leaf.number for leaf in over.found] == [2]


def test_all_prints_of_a_negative_are_found_over_all_evenings(hands: Hands, tmp_path: Path) -> None:
    first = hands.window.room.darkroom
    _sheet(first, 7.0, "cup-close")
    hands.window.close()
    later = in_room(tmp_path / "evenings")
    _sheet(later.window.room.darkroom, 5.0, "morning-shelf")
    over = book(later)
    assert [(leaf.folder.name, leaf.number) for leaf in over.found] == [("0002", 1)]
    later.touch("whose")
    later.frame(times=4)
    every = [(leaf.folder.name, leaf.number) for leaf in over.found]
    assert every == [("0002", 1), ("0001", 3), ("0001", 2), ("0001", 1)]
    later.touch("whose")
    later.frame(times=4)
    assert [(leaf.folder.name, leaf.number) for leaf in over.found] == [("0002", 1), ("0001", 2), ("0001", 1)]


def test_a_sheet_is_printed_again_with_its_exposures_as_the_plan(hands: Hands) -> None:
    room = hands.window.room.darkroom
    room.desk.set("time_s", 30.0)
    room.desk.set("height_mm", 700.0)
    book(hands)
    hands.touch("print again")
    hands.frame()
    assert hands.place == "enlarger"
    assert hands.window.over is None
    assert room.desk.now.height_mm == room.wall.record(2).enlarger.height_mm
    assert [one.time_s for one in room.paper.plan] == [9.0]


def test_another_size_is_reckoned_and_set(hands: Hands) -> None:
    room = hands.window.room.darkroom
    book(hands)
    hands.touch("other size")
    hands.frame()
    over = hands.window.over
    assert isinstance(over, OtherSize)
    before = room.desk.now
    hands.wheel("again size", -1)
    assert "times keep the tone" in words(hands)
    hands.touch("set for it")
    hands.frame()
    now = room.desk.now
    assert now.sheet_width_mm > before.sheet_width_mm
    assert room.paper.plan[0].time_s > 9.0, "a larger picture is dimmer"
    assert hands.place == "enlarger"


def test_a_strip_is_not_printed_again_and_it_is_said_why(hands: Hands) -> None:
    _sheet(hands.window.room.darkroom, 0.0, kind="strip")
    book(hands)
    hands.touch("print again")
    assert "only whole, developed sheets" in hands.said


@pytest.mark.parametrize(
    ("plate", "files"),
    [("map", ("map-morning-shelf-02.pdf", "map-morning-shelf-02.png")),
     ("times", ("seconds-by-stops.pdf", "seconds-by-stops.png")),
     ("export", ("evening-01/index.html", "evening-01/prints/sheet-02.png")), ("proof", ("proof.pdf", "proof.png"))],
)  # fmt: skip
def test_pages_go_where_the_learner_says_and_are_shown(
    hands: Hands, tmp_path: Path, plate: str, files: tuple[str, ...]
) -> None:
    book(hands)
    hands.touch(plate)
    hands.frame(times=2)
    if plate == "map":
        assert str(tmp_path / "pages") in hands.said, "where it goes is said before anything is written"
        assert not (tmp_path / "pages").exists()
        hands.touch(plate)
        hands.frame(times=2)
    for file in files:
        assert (tmp_path / "pages" / file).exists(), file
    over = hands.window.over
    assert isinstance(over, ShownPage), hands.said
    assert over._page is not None
    shown = words(hands).replace(" ", "")
    assert str(tmp_path / "pages").replace(" ", "")[-20:] in shown
    hands.touch("done")
    hands.frame()
    assert isinstance(hands.window.over, Notebook), "one is where one was"


def test_nothing_that_was_written_is_written_over(hands: Hands, tmp_path: Path) -> None:
    for _ in range(2):
        book(hands)
        hands.touch("times")
        hands.frame(times=2)
        hands.window.close_over()
    assert sorted(one.name for one in (tmp_path / "pages").glob("*.pdf")) == ["seconds-by-stops-2.pdf", "seconds-by-stops.pdf"]


def test_the_folder_is_written_by_hand_and_remembered(hands: Hands, tmp_path: Path) -> None:
    book(hands)
    hands.touch("into")
    for _ in range(400):
        hands.press("backspace")
    hands.write(str(tmp_path / "elsewhere"))
    hands.press("return")
    hands.touch("times")
    hands.frame(times=2)
    assert (tmp_path / "elsewhere" / "seconds-by-stops.pdf").exists()
    assert hands.window.room.preferences.exports == str(tmp_path / "elsewhere")
