"""Nothing is cut and nothing lies over its neighbour, at every size of window, scale of type, and in the longest language."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

SIZES = ((1024, 700), (1280, 800), (1920, 1200), (3840, 2160))
SCALES = (1.0, 1.5, 2.5)
LARGEST_TYPE = SCALES[-1]


def _visit(hands: Hands) -> dict[str, list[str]]:
    """Walk along the bench; return for every place the words that were cut though they may not be."""
    cut = {}
    for key in ("alt+1", "alt+2", "alt+3", "alt+4"):
        hands.press(key)
        canvas = hands.frame(0.2)
        inside = hands.surface.get_rect()
        bad = [label.words for label in canvas.labels if label.shortened and not label.may_shorten]
        bad += [label.words for label in canvas.labels if not inside.contains(label.rect)]
        cut[hands.place] = bad
    return cut


@pytest.mark.parametrize("scale", SCALES)
def test_no_words_are_cut_at_any_size_of_window(tmp_path: Path, scale: float) -> None:
    hands = in_room(tmp_path)
    for size in SIZES if scale == LARGEST_TYPE else SIZES[:-1]:  # the largest window is the only hard one for the largest type
        import pygame

        from sim.window.preferences import Preferences

        hands.window.room.preferences = Preferences(scale=scale, reduced_motion=True)
        hands.window.resize(size)
        hands.surface = pygame.Surface(size)
        assert _visit(hands) == {"shelf": [], "enlarger": [], "trays": [], "wall": []}, (size, scale)


def test_the_longest_language_fits(tmp_path: Path) -> None:
    hands = in_room(tmp_path, language="en-XA")
    assert _visit(hands) == {"shelf": [], "enlarger": [], "trays": [], "wall": []}


def test_everything_can_be_reached_by_the_tab_key(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    reached = set()
    for _ in range(60):
        hands.press("tab")
        if hands.window.hands.focus is not None:
            reached.add(hands.window.hands.focus.id)
    hands.frame()
    wanted = {thing.id for thing in hands.window.things() if thing.shown and thing.reachable}
    assert wanted <= reached


def test_everything_has_a_name(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    for key in ("alt+1", "alt+2", "alt+3", "alt+4"):
        hands.press(key)
        hands.frame()
        for thing in hands.window.things():
            if thing.shown:
                assert thing.name(), thing.id


SHEETS = {"help": "f1", "notebook": "f2", "preferences": "f3", "drawer": "b"}


def _over(hands: Hands, sheet: str) -> list[str]:
    """Lay a sheet over the room; return the words that are cut or stand outside, and the things that do."""
    hands.press("alt+2")
    if sheet in SHEETS:
        hands.press(SHEETS[sheet])
    elif sheet == "keys":
        hands.press("f3")
        hands.frame()
        hands.touch("keys")
    else:
        hands.press("b")
        hands.frame()
        hands.touch("own scan")
    bad = hands.out_of_place()
    hands.window.close_over()
    return bad


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [((1024, 700), 1.0, "en-XA"), ((1024, 700), 1.5, "en"), ((1280, 800), 1.0, "en"), ((1920, 1200), 2.5, "en"),
     ((3840, 2160), 2.5, "en")],
)  # fmt: skip
def test_every_sheet_over_the_room_fits_and_nothing_on_it_lies_over_another(
    tmp_path: Path, size: tuple[int, int], scale: float, language: str
) -> None:
    hands = in_room(tmp_path, size, scale=scale, language=language)
    found = {sheet: _over(hands, sheet) for sheet in (*SHEETS, "keys", "own scan")}
    assert not any(found.values()), found


def test_every_tool_of_the_wall_is_there_at_the_smallest_size_and_largest_type(tmp_path: Path) -> None:
    hands = in_room(tmp_path, (1024, 700), scale=1.5)
    hands.press("alt+4")
    hands.frame()
    inside = hands.surface.get_rect()
    tools = [thing for thing in hands.window.place.things() if thing.id not in ("wall",)]
    for thing in tools:
        if thing.shown:
            assert inside.contains(thing.rect), thing.id
    assert {"viewing lamp", "wall loupe", "ring"} <= {thing.id for thing in tools if thing.shown}
