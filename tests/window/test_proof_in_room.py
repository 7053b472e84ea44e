"""The proof sheet in the room: frames are marked, the marks are kept and seen again, a marked frame goes into the carrier."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.notebook.page_by_locale import page_by_locale
from sim.notebook.worth_printing import MOST_MARKED, mark_frames, marked_frames
from sim.reading import OutsideError
from sim.refusals import Refused
from sim.window.preferences import read_preferences
from sim.window.things.cupboard import Cupboard
from sim.window.things.proof_sheet import ProofSheet


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    """Hands in an evening in which two negatives were printed, their notebook open."""
    hands = in_room(tmp_path, exports=str(tmp_path / "pages"), page="letter", large_type=True)
    dark = hands.window.room.darkroom
    for name in ("step-wedge", "tone-patches"):
        dark.desk.place_negative(name)
        hands.press("s")
        hands.press("space")
        hands.wait(12.0)
        hands.develop()
        hands.press("alt+2")
    hands.press("f2")
    hands.frame(times=2)
    return hands


def test_a_frame_is_marked_kept_shown_and_put_into_the_carrier(hands: Hands, tmp_path: Path) -> None:
    room = hands.window.room
    assert "Marked as worth printing" not in hands.words
    hands.touch("proof")
    hands.frame(times=2)
    sheet = hands.window.over
    assert isinstance(sheet, ProofSheet), hands.said
    assert (sheet._made.size, sheet._made.large) == ("letter", True)
    bare = (tmp_path / "pages" / "proof.png").read_bytes()
    hands.touch("into carrier")
    assert "Touch the frame" in hands.said
    for name in ("proof frame 2", "proof frame 1", "proof frame 1"):
        hands.touch(name)
    assert "Frame 1 is not marked any more" in hands.said
    assert marked_frames(tmp_path) == ("tone-patches",)
    hands.touch("proof frame 2")
    hands.touch("proof frame 2")
    assert marked_frames(tmp_path) == ("tone-patches",)
    assert hands.cut() == []
    room.darkroom.desk.place_negative("step-wedge")
    hands.touch("into carrier")
    hands.frame(times=3)
    assert room.darkroom.desk.now.negative == "tone-patches"
    assert hands.place == "enlarger"
    assert hands.window.over is None
    assert (tmp_path / "pages" / "proof.png").read_bytes() != bare, "the page is written anew with its rings"
    hands.press("f2")
    hands.frame(times=2)
    assert "Marked as worth printing" in hands.words
    hands.press("escape")
    hands.press("b")
    hands.frame(times=2)
    cupboard = hands.window.over
    assert isinstance(cupboard, Cupboard)
    assert [one.negative for one in cupboard.sleeves if one.marked] == ["tone-patches"]
    assert "no negative of your own" in cupboard.proof.locked() or cupboard._own()


def test_marks_are_no_more_than_fit_their_file_and_a_damaged_file_is_refused_and_left(tmp_path: Path) -> None:
    every = [f"own:frame-{n}" for n in range(MOST_MARKED)]
    assert mark_frames(tmp_path, every) == tuple(every)
    with pytest.raises(Refused, match="at most 256, got 257"):
        mark_frames(tmp_path, ["one-more"])
    assert mark_frames(tmp_path, ["one-more"], every[:1])[-1] == "one-more"
    file = tmp_path / "worth-printing.json"
    file.write_text('{"format": 1, "negatives": [7]}')
    with pytest.raises(OutsideError, match="negatives"):
        mark_frames(tmp_path, ["one-more"])
    assert file.read_text() == '{"format": 1, "negatives": [7]}'


def test_a_page_is_guessed_from_the_territory_of_a_locale() -> None:
    tags = ("en_US.UTF-8", "es_MX", "fr-CA", "English_United States.1252", "de_DE@euro", "German_Germany.1252", "C", "", "us")
    assert [tag for tag in tags if page_by_locale(tag) == "letter"] == list(tags[:4])


def test_the_paper_of_pages_is_guessed_and_can_be_chosen(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    hands.press("f3")
    hands.frame()
    assert "as is usual here" in hands.words
    hands.wheel("pref page", -1)
    hands.wheel("pref type", 1)
    hands.frame()
    kept, problem = read_preferences(tmp_path)
    assert (kept.page, kept.large_type, problem) == ("letter", True, "")
    assert "Letter" in hands.words
    assert hands.cut() == []
