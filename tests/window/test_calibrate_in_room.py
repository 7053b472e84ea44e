"""Your own paper and enlarger by hands in the room: readings dropped in, called by eye, scanned; refused in words, or kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from calibration.scans_made import Laid, scanned
from hands_in_room import Hands, by_keys, in_room, own_in_the_carrier, typed_in
from laws.secret_papers import WEDGE, read_by_hand, secret_paper
from PIL import Image

from sim.bench.own_enlargers import MOST_MINUTES, RightPrintSaid, told_by
from sim.bench.own_papers import EvenScale, EyeStrip, StripsLight, readings_by_eye, readings_of_table
from sim.calibration.wedge_strips import PaperReadings
from sim.paper.stock import find_stock
from sim.refusals import Refused
from sim.shelf import Shelf
from sim.window.things.calibrate import Calibrate
from sim.window.things.calibrated import Calibrated
from sim.window.things.cupboard import Cupboard
from sim.window.things.right_print import RightPrint

GREYS = tuple((0.05 + 0.1 * np.arange(24)).tolist())
SECRET = secret_paper(np.random.Generator(np.random.PCG64(3)))
READ = read_by_hand(SECRET, np.random.Generator(np.random.PCG64(4)))


@pytest.fixture
def hands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    return in_room(tmp_path / "evenings")


def table(file: Path, read: PaperReadings = READ, change: Callable[[list[list[float]]], None] = lambda columns: None) -> Path:
    """Write readings as a person types them; ``change`` does to the columns what a careless hand does."""
    columns = [[one.density or 0.0 for one in strip.readings] for strip in read.strips]
    change(columns)
    lines = ["row,wedge," + ",".join(read.settings)]
    lines.append("seconds,," + ",".join(f"{10.0**strip.log_exposure:.2f}" for strip in read.strips))
    lines.append("unexposed,," + ",".join(f"{read.unexposed[0]:.2f}" for _ in read.strips))
    lines += [f"{k + 1},{WEDGE[k]:.2f}," + ",".join(f"{c[k]:.2f}" for c in columns) for k in range(len(WEDGE))]
    file.write_text("\n".join(lines) + "\n")
    return file


def _opened(hands: Hands, file: Path) -> Calibrate:
    hands.window.dropped(file)
    hands.frame(times=2)
    over = hands.window.over
    assert isinstance(over, Calibrate), hands.said
    hands.wheel("cal light", 1)
    hands.frame()
    return over


def _worked_out(hands: Hands) -> str:
    """Press the plate, let the work come; return all words that then lie there."""
    hands.touch("cal work")
    hands.frame(times=3)
    over = hands.window.over
    return " ".join(words for words, _, _ in over.text._said)  # type: ignore[union-attr]


def _on_shelf(hands: Hands) -> list[str]:
    folder = hands.window.room.folder.parent / "data" / "shelf"
    return sorted(file.name for file in folder.rglob("*") if file.is_file() and not file.name.startswith("."))


def test_a_dropped_table_becomes_a_paper_in_the_drawer(hands: Hands, tmp_path: Path) -> None:
    _opened(hands, table(tmp_path / "read.csv"))
    words = _worked_out(hands)
    assert isinstance(hands.window.over, Calibrated)
    assert "Filter 00: ISO R" in words
    assert "Filter 3, foretold: ISO R" in words
    assert "What to read next" in words or "not worth a sheet" in words
    assert hands.cut() == []
    assert _on_shelf(hands) == [], "nothing is written before it has a name"
    hands.touch("own name")
    for _ in range(8):
        hands.press("backspace")
    hands.write("warm-fb")
    hands.touch("into drawer")
    hands.frame(times=2)
    assert _on_shelf(hands) == ["warm-fb.toml"]
    assert isinstance(hands.window.over, Cupboard)
    control = hands.window.room.darkroom.desk.control("paper")
    assert "own:warm-fb" in control.choices
    stock = find_stock("own:warm-fb", Shelf(own=tmp_path / "data" / "shelf"))
    assert stock.title == "Warm fb"
    assert stock.base_density == pytest.approx(SECRET.stock.base_density, abs=0.03)


def test_a_table_that_is_dropped_while_the_eye_is_asked_is_taken_as_a_table(hands: Hands, tmp_path: Path) -> None:
    over = _opened(hands, table(tmp_path / "one.csv"))
    hands.wheel("cal way", 1)
    while over.way != "eye":
        hands.wheel("cal way", 1)
    hands.window.dropped(table(tmp_path / "other.csv"))
    hands.frame()
    assert over.way == "table"
    assert "other.csv" in over.file.now()
    assert hands.where("cal file").w > 0


def test_a_name_that_is_taken_is_replaced_only_when_asked_twice(hands: Hands, tmp_path: Path) -> None:
    file = table(tmp_path / "read.csv")
    _opened(hands, file)
    _worked_out(hands)
    hands.touch("into drawer")
    hands.frame(times=2)
    kept = (tmp_path / "data" / "shelf" / "papers" / "my-paper.toml").read_bytes()
    hands.window.close_over()
    _opened(hands, table(file, change=_darker))
    _worked_out(hands)
    hands.touch("into drawer")
    assert "lies on your shelf already" in hands.said
    assert (tmp_path / "data" / "shelf" / "papers" / "my-paper.toml").read_bytes() == kept
    hands.touch("into drawer")
    assert (tmp_path / "data" / "shelf" / "papers" / "my-paper.toml").read_bytes() != kept


def _darker(columns: list[list[float]]) -> None:
    columns[:] = [[density + 0.02 for density in one] for one in columns]


def _slipped(columns: list[list[float]]) -> None:
    columns[0][9:] = [*columns[0][10:], columns[0][-1]]


def _swapped(columns: list[list[float]]) -> None:
    columns[0], columns[2] = columns[2], columns[0]


def _run_full(columns: list[list[float]]) -> None:
    columns[1] = [min(d, 1.4) for d in columns[1]]


@pytest.mark.parametrize(
    ("change", "said"),
    [(_slipped, "Strip 00, step 10"), (_swapped, "look changed over"), (_run_full, "has run full there")],
)
def test_readings_that_cannot_be_right_are_refused_on_the_sheet_with_strip_and_step(
    hands: Hands, tmp_path: Path, change: Callable[[list[list[float]]], None], said: str
) -> None:
    over = _opened(hands, table(tmp_path / "read.csv", change=change))
    words = _worked_out(hands)
    assert hands.window.over is over
    assert "nothing was written" in words
    assert said in words
    assert _on_shelf(hands) == []
    assert hands.cut() == []


def test_doubted_readings_are_taken_as_they_are_when_worked_out_once_more(hands: Hands, tmp_path: Path) -> None:
    """As --as-it-is on the command line; a doubt that is another, of a file mended meanwhile, is asked about anew."""
    file = table(tmp_path / "read.csv", change=_slipped)
    over = _opened(hands, file)
    words = _worked_out(hands)
    assert "work it out once more" in words
    assert ".. " not in words
    assert "?." not in words
    table(file, change=_swapped)
    words = _worked_out(hands)
    assert hands.window.over is over, "another doubt than before is no consent"
    assert "look changed over" in words
    assert "?." not in words
    table(file, change=_slipped)
    _worked_out(hands)
    words = _worked_out(hands)
    assert isinstance(hands.window.over, Calibrated)
    assert words.startswith("NOT CHECKED: the wedge's steps")


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "an empty file"), ("row,wedge,00,5\nseconds,,20,20\n1,0.05,2.1,2.1,2.1\n", "line 3: must have 4 cells"),
     ("row,wedge,00,5\nseconds,,20,20\n1,0.05,2.1\n", "line 3: must have 4 cells")],
)  # fmt: skip
def test_tables_that_are_none_are_refused_with_their_line(hands: Hands, tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "read.csv").write_text(text)
    _opened(hands, tmp_path / "read.csv")
    assert said in _worked_out(hands)
    assert _on_shelf(hands) == []


def test_a_missing_table_is_asked_for(hands: Hands) -> None:
    hands.press("b")
    hands.frame()
    hands.touch("calibrate")
    hands.frame()
    assert isinstance(hands.window.over, Calibrate)
    hands.touch("cal work")
    assert "Table of readings: write where it lies" in hands.said


def test_steps_called_by_eye_by_keys_alone(hands: Hands, tmp_path: Path) -> None:
    """A printer without a densitometer: three steps of three strips, all by Tab, arrows, digits and Enter."""
    hands.press("b")
    hands.frame()
    over = by_keys(hands, "calibrate", "return")
    assert isinstance(over, Calibrate)
    for _ in range(2):
        by_keys(hands, "cal way", "right")
    by_keys(hands, "cal light", "right")
    for name, digits in (("cal steps", "31"), ("cal apart", "0.1")):
        typed_in(hands, name, digits)
    for setting, strip in zip(READ.settings, READ.strips, strict=True):
        while over.rows[0][0].now() != setting:
            by_keys(hands, "cal filter", "right")
        curve = SECRET.curve(setting)
        base, net = curve.density[0], curve.net_dmax
        tones = {"cal tone": base + 0.0191, "cal match": 0.745, "cal black": base + 0.9 * net}
        typed_in(hands, "cal seconds", f"{10.0**strip.log_exposure:.1f}")
        for name, density in tones.items():
            under = strip.log_exposure - float(np.interp(density, curve.density, curve.log_exposure))
            typed_in(hands, name, f"{round((under - 0.05) / 0.1 * 2 + 2) / 2:g}")
    assert over.eye.keys() == set(READ.settings)
    assert "00: " in hands.words
    by_keys(hands, "cal work", "return")
    hands.frame(times=3)
    assert isinstance(hands.window.over, Calibrated), [w for w, _, _ in over.text._said]
    assert "Filter 2: ISO R" in hands.words


def test_a_flatbed_scan_is_dropped_onto_the_sheet(hands: Hands, tmp_path: Path) -> None:
    over = _opened(hands, table(tmp_path / "read.csv"))
    hands.window.dropped(_scan(tmp_path / "strips.png"))
    hands.frame(times=2)
    assert (over.way, over.scan.words) == ("scan", str(tmp_path / "strips.png"))
    for name, digits in (("cal steps", "31"), ("cal apart", "0.1"), ("cal grey steps", "24")):
        typed_in(hands, name, digits)
    words = _worked_out(hands)
    assert isinstance(hands.window.over, Calibrated), words
    assert "Filter 5: ISO R" in words


def test_a_scan_that_has_run_full_is_refused(hands: Hands, tmp_path: Path) -> None:
    _opened(hands, table(tmp_path / "read.csv"))
    hands.window.dropped(_scan(tmp_path / "strips.png", brighter=1.9))
    hands.frame(times=2)
    for name, digits in (("cal steps", "31"), ("cal apart", "0.1"), ("cal grey steps", "24")):
        typed_in(hands, name, digits)
    words = _worked_out(hands)
    assert "run full" in words
    assert "The grey scale, step 1" in words


def _scan(file: Path, brighter: float = 1.0) -> Path:
    """Write a scan of the grey scale above the strips, on black paper."""
    rows = [Laid(GREYS, (950.0, 200.0), (1400.0, 130.0))]
    for k, strip in enumerate(READ.strips):
        curve = SECRET.curve(strip.setting)
        densities = tuple(np.interp(strip.log_exposure - WEDGE, curve.log_exposure, curve.density).tolist())
        rows.append(Laid(densities, (950.0, 450.0 + 250.0 * k), (1550.0, 130.0), 0.0, (20.0, 12.0)))
    picture = scanned(rows, (1200, 1900))
    Image.fromarray(np.clip(picture.astype(float) * brighter, 0, 65535).astype(np.uint16)).save(file)
    return file


def test_patches_of_an_enlarger_and_a_coin(hands: Hands, tmp_path: Path) -> None:
    rows = ["height_mm,f_number,filter,seconds,density,bursts", "620,8,2,10,0.74,1", "620,8,2,10,0.69,10", "620,8,3,14,0.70,1"]
    (tmp_path / "patches.csv").write_text("\n".join(rows) + "\n")
    over = _opened_patches(hands, tmp_path / "patches.csv")
    while over.chosen("paper") != "glossy-rc-vc":
        hands.wheel("cal paper", 1)
    for name, digits in (("cal coin clear", "4"), ("cal coin marked", "8")):
        typed_in(hands, name, digits)
    words = _worked_out(hands)
    assert isinstance(hands.window.over, Calibrated), words
    assert "Filter 3:" in words
    assert "no mark after 4 min, a mark after 8" in words
    assert "Would improve it" in words
    hands.touch("into drawer")
    hands.frame(times=2)
    assert _on_shelf(hands) == ["my-enlarger.toml"]


def test_a_table_begins_a_known_enlarger_anew_only_when_asked_twice(hands: Hands, tmp_path: Path) -> None:
    own_in_the_carrier(hands, tmp_path / "field.png")
    room = hands.window.room
    told_by("my-enlarger", room.darkroom.desk.now.record(), RightPrintSaid(12.0, 8.0, "2")).keep("My enlarger")
    file = tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml"
    known = file.read_bytes()
    (tmp_path / "patches.csv").write_text("height_mm,f_number,filter,seconds,density\n620,8,2,10,0.74\n620,8,3,14,0.70\n")
    over = _opened_patches(hands, tmp_path / "patches.csv")
    while over.chosen("paper") != "glossy-rc-vc":
        hands.wheel("cal paper", 1)
    _worked_out(hands)
    hands.touch("into drawer")
    assert "lies on your shelf already" in hands.said
    assert file.read_bytes() == known
    hands.touch("into drawer")
    assert file.read_bytes() != known


def test_a_time_that_left_a_mark_is_not_taken_without_one_that_left_none(hands: Hands, tmp_path: Path) -> None:
    rows = ["height_mm,f_number,filter,seconds,density,bursts", "620,8,2,10,0.74,1", "620,8,2,10,0.69,10", "620,8,3,14,0.70,1"]
    (tmp_path / "patches.csv").write_text("\n".join(rows) + "\n")
    over = _opened_patches(hands, tmp_path / "patches.csv")
    typed_in(hands, "cal coin marked", "8")
    hands.touch("cal work")
    hands.frame(times=3)
    assert hands.window.over is over, "no enlarger of which 0 minutes are safe"
    assert "A mark alone tells no time that is safe" in hands.said
    typed_in(hands, "cal coin marked", "500")
    assert over.value("coin marked") == MOST_MINUTES


def test_an_aperture_goes_by_the_clicks_of_the_lens(hands: Hands) -> None:
    room = hands.window.room
    made = RightPrint(room, room.darkroom.desk.now.record(), lambda: None)
    hands.window.open_over(made)
    hands.frame(times=2)
    assert made.f_number == 8.0
    for steps, said in ((1, "f/8 + 1/3"), (2, "f/11"), (-3, "f/8"), (60, "f/45"), (-60, "f/5.6")):
        hands.wheel("right aperture", steps)
        hands.frame()
        assert made.rows[1].now() == said
    form = Calibrate(room, lambda: None)
    hands.window.open_over(form)
    hands.frame(times=2)
    hands.wheel("cal aperture", 3)
    assert form.value("aperture") == 11.0
    typed_in(hands, "cal aperture", "10")
    hands.wheel("cal aperture", 1)
    assert form.value("aperture") == pytest.approx(10.08, abs=0.02), "from between two clicks to the next"


@pytest.mark.parametrize(
    ("strip", "card", "said"),
    [(EyeStrip(0.0, 3.0), 18.0, "the strip behind filter 3: its seconds must be between 0.05 and 3600 s"),
     (EyeStrip(20.0, 3.0, 40.0), 18.0, "the strip behind filter 3: the step called as grey as the card must be between 1"),
     (EyeStrip(20.0, None, None, 22.0), 18.0, "the strip behind filter 3: the step called black must be between 1 and 21"),
     (EyeStrip(20.0), 18.0, "the strip behind filter 3 must have a step called"),
     (EyeStrip(20.0, 3.0), 99.0, "the card must be between 0.8 and 90 %")],
)  # fmt: skip
def test_steps_called_by_eye_are_refused_by_filter_and_step(strip: EyeStrip, card: float, said: str) -> None:
    strips = {"2": EyeStrip(20.0, 18.0, 12.0, 5.0), "3": strip}
    with pytest.raises(Refused, match=said) as refused:
        readings_by_eye(strips, card, StripsLight("diffusion-sheet", "150-mm", None, 8.0), EvenScale(21, 0.05, 0.15))
    assert "line" not in str(refused.value)


def test_steps_called_by_eye_are_read_as_the_same_steps_of_a_table(tmp_path: Path) -> None:
    light, wedge = StripsLight("diffusion-sheet", "150-mm", 900.0, 8.0), EvenScale(21, 0.05, 0.15)
    lines = ["row,wedge,00,5", "seconds,,20,40", "first tone,,18.5,", "match 18%,,12,11", "black,,5,8.5"]
    (tmp_path / "eye.csv").write_text("\n".join(lines) + "\n")
    called = readings_by_eye({"00": EyeStrip(20.0, 18.5, 12.0, 5.0), "5": EyeStrip(40.0, None, 11.0, 8.5)}, 18.0, light, wedge)
    assert called == readings_of_table(tmp_path / "eye.csv", light, wedge)


def _opened_patches(hands: Hands, file: Path) -> Calibrate:
    hands.window.dropped(file)
    hands.frame(times=2)
    for _ in range(3):
        hands.wheel("cal way", 1)
    hands.frame()
    over = hands.window.over
    assert isinstance(over, Calibrate)
    assert over.way == "patches"
    return over


def test_the_recipe_is_written_from_there(hands: Hands, tmp_path: Path) -> None:
    from dataclasses import replace

    hands.window.room.prefer(replace(hands.window.room.preferences, exports=str(tmp_path / "pages")))
    hands.press("b")
    hands.frame()
    hands.touch("calibrate")
    hands.frame()
    hands.touch("cal recipe")
    hands.frame(times=3)
    assert sorted(file.name for file in (tmp_path / "pages").iterdir()) == ["wedge-recipe.pdf", "wedge-recipe.png"]
    hands.press("escape")
    hands.frame(times=2)
    assert isinstance(hands.window.over, Calibrate)


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [((1024, 700), 1.0, "en-XA"), ((1024, 700), 1.5, "en"), ((1920, 1200), 2.5, "en")],
)  # fmt: skip
def test_the_sheets_fit_and_nothing_lies_over_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int], scale: float, language: str
) -> None:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    hands = in_room(tmp_path / "evenings", size, scale=scale, language=language)
    room = hands.window.room
    made = [Calibrate(room, lambda: None), RightPrint(room, room.darkroom.desk.now.record(), lambda: None)]
    for way in ("table", "scan", "eye", "patches"):
        form = Calibrate(room, lambda: None)
        form.way, form._wedge_here = way, True  # type: ignore[assignment]
        made.append(form)
    for over in made:
        hands.window.open_over(over)
        assert hands.out_of_place() == [], str(getattr(over, "way", "right"))
    hands.window.close_over()
    _opened(hands, table(tmp_path / "read.csv"))
    hands.touch("cal work")
    hands.frame(times=3)
    assert isinstance(hands.window.over, Calibrated)
    assert hands.out_of_place() == [], "calibrated"
