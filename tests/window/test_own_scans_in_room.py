"""Scans of one's own in the room: dropped in, turned, places pointed at, put into sleeves on one's own shelf, printed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hands_in_room import Hands, in_room
from PIL import Image

from sim.bench.own_scans import ScanAsked, measured
from sim.negative.scan_frame import Box
from sim.notebook.reprint import reference_place
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.viewing.easel_meter import time_for_density
from sim.window.things.own_scan import OwnScan


def _scan(file: Path, thin: tuple[float, float] = (0.25, 0.25)) -> Path:
    """Write a scan whose film is thin around one point."""
    y, x = np.mgrid[0:200, 0:300] / np.array([200.0, 300.0])[:, None, None]
    light = 2000 + 50000 * np.exp(-((x - thin[0]) ** 2 + (y - thin[1]) ** 2) / 0.03)
    Image.fromarray(light.astype(np.uint16)).save(file)
    return file


@pytest.fixture
def hands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    return in_room(tmp_path / "evenings")


def _dropped(hands: Hands, path: Path) -> OwnScan:
    hands.window.dropped(path)
    hands.frame(times=2)
    over = hands.window.over
    assert isinstance(over, OwnScan), hands.said
    return over


def test_a_dropped_scan_lies_on_the_table_and_its_sleeve_is_in_the_carrier(hands: Hands, tmp_path: Path) -> None:
    over = _dropped(hands, _scan(tmp_path / "Barn door.png"))
    assert over.frame.view is not None
    hands.touch("frame seen", (0.25, 0.25))
    hands.touch("frame seen", (0.8, 0.6))
    assert [spot[0] for spot in over.frame.spots] == ["place-1", "place-2"]
    hands.touch("into sleeves")
    hands.frame(times=2)
    desk = hands.window.room.darkroom.desk
    assert desk.now.negative == "own:barn-door"
    places = {place.name: place for place in desk.negative.places}
    assert {"place-1", "place-2"} <= set(places)
    assert (places["place-1"].x, places["place-1"].y) == pytest.approx((0.25, 0.25), abs=0.02)
    assert "own:barn-door" in {sleeve.name for sleeve in desk.negatives()}
    hands.press("s")
    hands.press("space")
    hands.wait(15.0)
    hands.develop()
    assert hands.window.room.darkroom.wall.prints()[0].negative == "own:barn-door"


def test_a_place_is_named_by_hand(hands: Hands, tmp_path: Path) -> None:
    over = _dropped(hands, _scan(tmp_path / "a.png"))
    hands.touch("place name")
    for _ in range(10):
        hands.press("backspace")
    hands.write("face")
    hands.touch("frame seen", (0.5, 0.5))
    assert over.frame.spots[0][0] == "face"


def test_turned_a_scan_is_seen_turned_and_its_places_are_forgotten(hands: Hands, tmp_path: Path) -> None:
    over = _dropped(hands, _scan(tmp_path / "a.png"))
    hands.touch("frame seen", (0.5, 0.5))
    assert over.frame.view is not None
    wide, high = over.frame.view.get_size()
    hands.wheel("scan turn", 1)
    hands.frame(times=2)
    assert over.frame.view.get_size() == (high, wide)
    assert over.frame.spots == ()


def test_clear_film_is_pointed_at(hands: Hands, tmp_path: Path) -> None:
    over = _dropped(hands, _scan(tmp_path / "a.png"))
    assert "Clear film was guessed" in hands.said
    hands.wheel("scan touch", 1)
    hands.touch("frame seen", (0.25, 0.25))
    hands.frame(times=2)
    assert over.asked.clear == pytest.approx((0.25, 0.25), abs=0.01)
    assert "guessed" not in hands.said, "it was shown"
    assert "where you showed it" in hands.said


def test_what_is_dense_is_not_taken_for_clear_film(hands: Hands, tmp_path: Path) -> None:
    """It would cut most of the picture off at nil: refused in words, the scan stays as it was, and so do its places."""
    over = _dropped(hands, _scan(tmp_path / "a.png"))
    hands.touch("frame seen", (0.25, 0.25))
    hands.wheel("scan touch", 1)
    hands.touch("frame seen", (0.95, 0.95))
    hands.frame(times=2)
    assert "clear film must be as clear as anything on the film" in hands.said
    assert over.asked.clear is None
    assert [name for name, _, _ in over.frame.spots] == ["place-1"]
    hands.frame()
    hands.touch("into sleeves")
    hands.frame(times=2)
    desk = hands.window.room.darkroom.desk
    assert desk.now.negative == "own:a"
    assert float(np.median(desk.negative.silver_density)) > 0.5, "its tones are kept"


def test_a_point_is_led_back_into_the_scan_as_it_lies() -> None:
    box = Box(0.0, 0.0, 1.0, 1.0)
    assert ScanAsked().in_scan(box, 0.2, 0.3) == pytest.approx((0.2, 0.3))
    assert ScanAsked(flipped=True).in_scan(box, 0.2, 0.3) == pytest.approx((0.8, 0.3))
    assert ScanAsked(turn=90).in_scan(box, 0.7, 0.2) == pytest.approx((0.2, 0.3)), "left went to the top"
    assert ScanAsked(turn=180).in_scan(box, 0.8, 0.7) == pytest.approx((0.2, 0.3))
    assert ScanAsked(turn=270).in_scan(box, 0.3, 0.8) == pytest.approx((0.2, 0.3))
    assert ScanAsked().in_scan(Box(0.5, 0.5, 1.0, 1.0), 0.5, 0.5) == pytest.approx((0.75, 0.75))


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("flipped", [False, True])
def test_the_thin_spot_that_is_pointed_at_is_the_thin_spot_of_the_scan(
    hands: Hands, tmp_path: Path, turn: int, flipped: bool
) -> None:
    asked = ScanAsked(turn=turn, flipped=flipped)
    one = measured((_scan(tmp_path / "a.png", (0.2, 0.3)),), asked)[0]
    seen = one.seen(0, 300)
    row, col = (float(at.mean()) for at in np.nonzero(seen == seen.max()))
    found = asked.in_scan(one.scan.frames[0].box, (col + 0.5) / seen.shape[1], (row + 0.5) / seen.shape[0])
    assert found == pytest.approx((0.2, 0.3), abs=0.02)


def test_a_folder_is_a_roll_and_a_name_that_is_taken_gets_a_number(hands: Hands, tmp_path: Path) -> None:
    roll = tmp_path / "roll"
    roll.mkdir()
    for name in ("one", "two"):
        _scan(roll / f"{name}.png")
    over = _dropped(hands, roll)
    hands.touch("next frame")
    assert over._at == (1, 0)
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert "2 sleeves lie on your shelf." in hands.said
    _dropped(hands, roll / "one.png")
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert hands.window.room.darkroom.desk.now.negative == "own:one-2"


def test_what_is_no_scan_is_refused_in_words(hands: Hands, tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(b"no picture")
    hands.window.dropped(tmp_path / "a.png")
    hands.frame(times=2)
    assert "a.png" in hands.said
    hands.window.dropped(tmp_path / "gone.png")
    hands.frame(times=2)
    assert "which is not there" in hands.said


def _begins_at(hands: Hands, file: Path, least: float, most: float) -> tuple[float, float]:
    """Let fall a scan through whose film such shares of light come; return the aperture, and the seconds of its light tone."""
    y, x = np.mgrid[0:200, 0:300] / np.array([200.0, 300.0])[:, None, None]
    clear = 60000.0 * np.exp(-((x - 0.9) ** 2 + (y - 0.9) ** 2) / 0.001)
    thin = least + (most - least) * np.exp(-((x - 0.3) ** 2 + (y - 0.4) ** 2) / 0.05)
    picture = np.maximum(60000.0 * thin, clear)
    Image.fromarray(picture.astype(np.uint16)).save(file)
    _dropped(hands, file)
    hands.touch("into sleeves")
    hands.frame(times=2)
    desk = hands.window.room.darkroom.desk
    record, place = desk.now.record(), reference_place(desk.negative, desk.now.record())
    stock = find_stock(record.sheet.paper)
    white = Response(stock, record.development).base_plus_fog
    wanted = white + (0.07 if place.part == "lightest" else 0.67)
    time_s = time_for_density(desk.negative, record, place, stock, record.exposures[0], wanted)
    return record.exposures[0].f_number, time_s


def test_the_aperture_in_the_room_begins_where_hands_have_their_seconds(hands: Hands, tmp_path: Path) -> None:
    """Thin film wants a smaller opening than f/8, dense film a wider one; a straight print then takes 8 to 30 s."""
    films = {"thin": (0.45, 0.95), "usual": (0.16, 0.8), "dense": (0.004, 0.02)}
    begun = {name: _begins_at(hands, tmp_path / f"{name}.png", *light) for name, light in films.items()}
    print(begun)
    assert begun["dense"][0] < 8.0 == begun["usual"][0] < begun["thin"][0]
    assert all(7.9 <= seconds <= 30.1 for _, seconds in begun.values())


def test_a_sheet_cut_where_no_gaps_are_seen_is_warned_about(hands: Hands, tmp_path: Path) -> None:
    _dropped(hands, _scan(tmp_path / "a.png"))
    hands.wheel("scan sheet", 1)
    hands.frame(times=2)
    assert "no gaps were seen between frames" in hands.said


def test_a_frame_that_is_looked_for_must_have_the_proportion_of_the_film_that_is_said(hands: Hands, tmp_path: Path) -> None:
    """A square picture in clear rebate: refused as 24 x 36 mm, taken as 60 x 60 mm."""
    light = np.full((300, 300), 55000.0)
    y, x = np.mgrid[0:200, 0:200] / 200.0
    light[50:250, 50:250] = 4000 + 9000 * (np.sin(9 * x) * np.cos(7 * y)) ** 2
    Image.fromarray(light.astype(np.uint16)).save(tmp_path / "square.png")
    over = _dropped(hands, tmp_path / "square.png")
    hands.wheel("scan rebate", 1)
    hands.frame(times=2)
    assert "must have the film's proportion" in hands.said
    hands.wheel("scan film", 1)
    hands.frame(times=2)
    assert over._scans[0].scan.frames[0].found
    box = over._scans[0].scan.frames[0].box
    assert (box.right - box.left, box.bottom - box.top) == pytest.approx((200 / 300, 200 / 300), abs=0.04)


@pytest.mark.parametrize("names", [("r1", "r2"), ("01", "02"), ("a", "barn door")])
def test_sleeves_of_files_with_short_names_can_be_read(hands: Hands, tmp_path: Path, names: tuple[str, str]) -> None:
    """Cameras and scanners call files 01.tif: what is said to lie on the shelf does, and the first is in the carrier."""
    roll = tmp_path / "roll"
    roll.mkdir()
    for name in names:
        _scan(roll / f"{name}.tif")
    _dropped(hands, roll)
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert "2 sleeves lie on your shelf." in hands.said
    assert hands.window.over is None
    desk = hands.window.room.darkroom.desk
    assert desk.now.negative == f"own:{names[0].lower()}"
    titles = {sleeve.name: sleeve.title for sleeve in desk.negatives()}
    wanted = {f"own:{name.lower().replace(' ', '-')}" for name in names}
    assert wanted <= set(titles)
    assert f"Frame {names[0].lower()}" == titles[f"own:{names[0].lower()}"]


def _sheet(file: Path) -> Path:
    """Write a sheet of two columns and three rows whose frames lie in clear film."""
    light = np.full((620, 640), 58000.0)
    y, x = np.mgrid[0:160, 0:240] / 160.0
    for row in range(3):
        for column in range(2):
            top, left = 25 + 205 * row, 40 + 320 * column
            light[top : top + 160, left : left + 240] = 4000 + 12000 * (np.sin(5 * x + row) * np.cos(4 * y + column)) ** 2
    Image.fromarray(light.astype(np.uint16)).save(file)
    return file


def test_a_cut_that_was_refused_leaves_no_earlier_cut_to_be_kept(hands: Hands, tmp_path: Path) -> None:
    """Two by three stands; four by three is refused: nothing can be put into sleeves until a cut stands again."""
    over = _dropped(hands, _sheet(tmp_path / "sheet.png"))
    hands.wheel("scan sheet", 5)
    hands.frame(times=2)
    assert over.asked.sheet == (2, 3)
    assert len(over._every()) == 6, hands.said
    hands.wheel("scan sheet", 1)
    hands.frame(times=2)
    assert over.asked.sheet == (4, 3)
    assert "cuts between frames must lie in the gaps" in hands.words, "the table says why"
    assert "--" not in hands.words, "no option of a command, which nobody has in the window"
    assert over.frame.view is None
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert hands.window.over is over
    assert "refused" in hands.said
    assert not list((tmp_path / "data").rglob("*.toml"))
    hands.wheel("scan sheet", -1)
    hands.frame(times=2)
    assert over.frame.view is not None
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert "6 sleeves lie on your shelf." in hands.said
