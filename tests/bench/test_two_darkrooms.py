"""Two people at one darkroom: one has it in hand, the other may look; the desk is held with the evening."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sim.bench import desk_file as keeping
from sim.bench.darkroom import Darkroom
from sim.bench.developed_negatives import DevelopedNegatives
from sim.evening.evening import NotInHand
from sim.locking import OpenElsewhere
from sim.refusals import Refused
from sim.writing import WritingFailed
from tests.bench.darkrooms import small_room


def listing(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_who_comes_second_is_told_and_finds_the_desk_untouched(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("time_s", 7.0)
    before = listing(tmp_path)
    with pytest.raises(OpenElsewhere, match=r"evening\.jsonl: is open elsewhere"):
        Darkroom.open(tmp_path)
    assert listing(tmp_path) == before
    room.close()
    again = Darkroom.open(tmp_path)
    assert again.desk.now.time_s == 7.0
    again.close()


ACTS: dict[str, Callable[[Darkroom], object]] = {
    "set": lambda room: room.desk.set("time_s", 3.0),
    "take": lambda room: room.paper.take("sheet"),
    "expose": lambda room: room.paper.expose(),
    "put-back": lambda room: room.paper.put_back(),
    "put-in": lambda room: room.tray.put_in(),
    "predict": lambda room: room.predict("darker"),
    "note": lambda room: room.note("mine"),
    "white-light": lambda room: room.switch_white_light(True),
}


@pytest.mark.parametrize("piece", [False, True])
@pytest.mark.parametrize("act", ACTS)
def test_who_looks_changes_nothing(act: str, piece: bool, tmp_path: Path) -> None:
    room = small_room(tmp_path)
    if piece:
        room.paper.take("sheet")
        room.paper.expose()
    before = listing(tmp_path)
    looked = Darkroom.look(tmp_path, "it is open elsewhere", DevelopedNegatives(room.desk.negative))
    assert looked.desk.now == room.desk.now
    assert (looked.paper.piece is None) == (not piece)
    with pytest.raises(Refused, match=r".") as caught:
        ACTS[act](looked)
    expected = {"take", "put-back", "white-light"} if piece else {"expose", "put-back", "put-in"}
    if act not in expected:  # those are refused for what lies about, before it comes to whose it is
        assert isinstance(caught.value, NotInHand)
    assert listing(tmp_path) == before
    room.close()


def test_who_looks_leaves_a_damaged_desk_where_it_is(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("time_s", 3.0)
    (tmp_path / "desk.json").write_text("{")
    before = listing(tmp_path)
    looked = Darkroom.look(tmp_path)
    assert "desk.json: is not valid JSON" in str(looked.damage)
    assert "moved" not in str(looked.damage)
    assert listing(tmp_path) == before
    room.close()


def test_a_damaged_desk_that_cannot_be_moved_keeps_nobody_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    small_room(tmp_path).close()
    (tmp_path / "desk.json").write_text("{")

    def replace(*_: object) -> None:
        raise OSError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", replace)
    room = Darkroom.open(tmp_path)
    assert "the damaged file could not be moved aside (Permission denied)" in str(room.damage)
    room.close()


def test_a_darkroom_that_cannot_be_set_up_is_not_kept_from_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise WritingFailed("desk.json: cannot be written (No space left on device)")

    monkeypatch.setattr(keeping, "write_durably", full)
    with pytest.raises(WritingFailed, match="No space left") as caught:
        Darkroom.open(tmp_path)
    monkeypatch.undo()
    Darkroom.open(tmp_path).close()
    assert caught.value is not None


def test_what_killed_writes_of_the_desk_left_is_swept_at_the_next_opening(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    left = [tmp_path / f".desk.json.0123abcd.{end}" for end in ("part", "link")]
    for file in left:
        file.write_bytes(b"half")
    Darkroom.look(tmp_path)
    assert all(file.exists() for file in left)
    room.close()
    Darkroom.open(tmp_path).close()
    assert not any(file.exists() for file in left)
