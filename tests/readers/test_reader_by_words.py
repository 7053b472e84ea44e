"""The reader of words: it understands a printer however it is put, and could not look anything up in what it judges."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.readers import judging
from tests.readers.lessons_from import line_for, read_lesson
from tests.readers.starts import Start, differing
from tests.readers.working import Reader

HERE = Path(__file__).resolve().parent
PROGRAM = ("reader_by_words.py", "printer_hands.py", "trade_english.py")
PLACES = ["cheek", "cheek-shadow", "sky", "wall"]

SAID = [
    ("The whole sheet is pale by a stop and a third; give it more.", "exposure", "more", "", 1.333),
    ("Everything is too dark: two thirds of a stop less light.", "exposure", "less", "", 0.667),
    ("The sky is too light: burn it in by 1 1/2 stops more.", "local", "more-light", "sky", 1.5),
    ("Hold the cheek shadow back by half a stop less than you did.", "local", "more-light", "cheek-shadow", 0.5),
    ("Give the sky half a stop more of its own.", "local", "more-light", "sky", 0.5),
    ("The print looks harsh; one and a half grades softer.", "contrast", "softer", "", None),
    ("The scale is too flat, take a harder filter.", "contrast", "harder", "", None),
    ("Your card lay over the wall and missed the cheek, where it belongs.", "place", "move", "wall", None),
    ("The hole in the card is too large, its light spills over the roof.", "tool", "smaller", "", None),
    ("The tool was held at rest and left its outline.", "tool", "moving", "", None),
    ("Bring the card nearer to the paper, its edge is too wide for the cheek.", "tool", "lower", "cheek", None),
    ("Under the loupe the corner is unsharp: stop down by one mark.", "sharpness", "stop-down", "", None),
    (
        "At the corner the lens is stopped down too far and all is softened: open the lens up.",
        "sharpness",
        "stop-up",
        "",
        None,
    ),
    ("The grain is blurred everywhere: focus afresh.", "sharpness", "focus", "", None),
    ("The picture measures 180 mm across, 20 mm too small.", "size", "larger", "", None),
    ("The exposure lasts 3 s, too short to count: less light a second.", "time", "longer", "", None),
    ("The sheet was pulled early: leave it in the developer to the end.", "development", "longer", "", None),
    ("The lights are too pale: a third of a stop more in the soft exposure.", "exposure", "more", "", 0.333),
]


@pytest.fixture(scope="module")
def reader() -> Iterator[Reader]:
    """A reader that knows a few places."""
    one = Reader(HERE / PROGRAM[0])
    one.ask({"begin": {"places": PLACES, "controls": {}, "fixed": {}}})
    yield one
    one.close()


@pytest.mark.parametrize(("line", "cause", "way", "place", "stops"), SAID)
def test_a_sentence_of_the_trade_is_understood(
    reader: Reader, line: str, cause: str, way: str, place: str, stops: float | None
) -> None:
    """Cause, direction, place and size come out of the words."""
    heard = reader.ask({"judge": line})["heard"]
    assert (cause, way, place) in [(one["cause"], one["way"], one["place"]) for one in heard]
    if stops is not None:
        assert heard[0]["stops"] == pytest.approx(stops, abs=0.01)


def test_the_reader_imports_nothing_but_its_own_files_and_the_language() -> None:
    """It could not look up what it judges."""
    own = {name.removesuffix(".py") for name in PROGRAM}
    for name in PROGRAM:
        for node in ast.walk(ast.parse((HERE / name).read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for module in names:
                assert module.split(".")[0] in own | set(sys.stdlib_module_names), f"{name} imports {module}"


def test_lines_that_ask_for_opposite_things_contradict_each_other(reader: Reader) -> None:
    """More and less of one thing, or light for what is too dark already, cannot both be done."""
    against_itself = reader.ask({"judge": "The sky is too dark: burn it in by a stop more."})["heard"]
    assert judging.contradictions(against_itself)
    two = reader.ask({"judge": "The whole sheet is too light.\nAll over it wants half a stop less light."})["heard"]
    assert judging.contradictions(two)
    sound = reader.ask({"judge": "The sky is too light: burn it in by a stop more.\nThe print is too flat."})["heard"]
    assert sound
    assert not judging.contradictions(sound)


def test_a_longer_burn_is_answered_by_more_stops_at_that_place_only(reader: Reader) -> None:
    """The next sheet differs in what was spoken of, by the size that was said."""
    card = {"does": "burn", "place": "sky", "stops": 1.0, "mm": 60.0, "exposure": 1, "hand": "moving", "high_mm": 120.0}
    now = {"time": 10.0, "filter": "2", "then": [], "cards": [card]}
    reader.ask({"begin": {"places": PLACES, "controls": {"time": [0.1, 600.0], "cards": {}}, "fixed": {}}})
    words = "The sky reads 0.06, too light: burn the sky in by half a stop more."
    answer = reader.ask({"prints": [{"key": "1", "settings": now, "words": words, "sheet": 1}]})
    assert answer["settings"]["1"] == {**now, "cards": [{**card, "stops": 1.5}]}


def test_a_half_in_which_a_tool_holds_back_is_no_burn() -> None:
    """The hard half of the second thin film has its card and stays a half of the sheet's light."""
    lesson = read_lesson("thin-film-alone")
    (right,) = lesson.right
    assert [half["filter"] for half in right["then"]] == ["5"]
    assert [(card["does"], card["exposure"]) for card in right["cards"]] == [("hold-back", 2)]
    assert "then=5:" in line_for(right, lesson)


def test_a_sheet_left_in_a_little_longer_is_not_planted_as_a_fault() -> None:
    """Developed to the end it stands; pulled early it does not."""
    lesson = read_lesson("developed-to-the-end")
    (right,) = lesson.right
    for share, faults in ((1.2, []), (0.5, ["development"])):
        start = Start("anywhere", {"1": right})
        differing(start, {**right, "develop": share * right["develop"]}, right)
        assert [fault["cause"] for fault in start.faults if fault["cause"] == "development"] == faults
