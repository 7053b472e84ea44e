"""What a printer meets who takes the verbs to a darkroom of his own: sizes, hands' seconds, what is known and since when."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from PIL import Image

from sim.command.main import main
from sim.enlarger.equipment import find_head, find_lens
from sim.notebook.printing_map import map_pages
from sim.notebook.record_words import describe
from sim.printing.record_file import read_record
from sim.shelf import own_shelf
from sim.viewing.hands_seconds import mark_for_hands, too_long_for_hands, too_short_for_hands

Said = tuple[int, str]
LARGE = ("--head", "diffusion-sheet")
TABLE = "height_mm,f_number,filter,seconds,density,wedge\n620,8,2,10,0.74,0.6\n620,8,4,14,0.70,0.6\n"


@pytest.fixture
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder that is one's own."""
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _told(capsys: pytest.CaptureFixture[str], *words: str) -> Said:
    code = main(list(words))
    both = capsys.readouterr()
    return code, " ".join((both.out + both.err).split())


def _picture(file: Path) -> tuple[tuple[int, int], float]:
    with Image.open(file) as picture:
        return picture.size, float(picture.info["dpi"][0])


def test_a_larger_sheet_is_a_larger_picture(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    per_inch = []
    for size, wide in (("203x254", 203), ("254x305", 254), ("127x178", 127)):
        assert _told(capsys, "print", "--negative", "step-wedge", "--sheet", size, "-o", "p.png")[0] == 0
        (cols, rows), dpi = _picture(at_home / "p.png")
        per_inch.append(dpi)
        assert max(cols, rows) / min(cols, rows) == pytest.approx(max(map(int, size.split("x"))) / wide, abs=0.01)
        assert min(cols, rows) == pytest.approx(wide / 25.4 * dpi, abs=2)
    assert per_inch == pytest.approx([per_inch[0]] * 3, rel=0.01)


def test_where_memory_or_the_negative_sets_a_bound_it_is_said(
    at_home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("print", "--negative", "morning-shelf", "--sheet", "305x406", "-o", "p.png")
    said = _told(capsys, *words)[1]
    assert "memory" not in said
    assert "shows no finer detail" in said
    for module in ("sim.printing.picture_fineness", "sim.command.pictures"):
        monkeypatch.setattr(f"{module}.MAX_SHEET_PX", 2_000_000)
    said = _told(capsys, *words)[1]
    (cols, rows), dpi = _picture(at_home / "p.png")
    assert cols * rows == pytest.approx(2_000_000, rel=0.01)
    assert f"The picture has {dpi:.0f} pixels per inch of print where" in said
    assert "2 megapixels, which memory allows" in said


def test_hands_have_their_seconds_in_the_best_print_and_the_ring(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--negative", "morning-shelf", "--sheet", "60x75")
    found = json.loads(_told(capsys, "reach", *words, "--json")[1])["record"]["exposures"][0]
    assert 8.0 <= found["time_s"] <= 30.0
    assert found["f_number"] > 8.0
    ring = json.loads(_told(capsys, "ring", *words, "--filters", "1,3", "--keep", "white-cup", "-o", "r.png", "--json")[1])
    assert all(7.9 <= one["time_s"] <= 30.0 for one in ring["prints"])
    said = json.loads(_told(capsys, "reach", *words, "--f-number", "8", "--json")[1])["record"]["exposures"][0]
    assert said["f_number"] == 8.0, "an aperture that is said stays"


@pytest.mark.parametrize(
    ("negative", "short", "long"), [("racks-thin", 1, 0), ("parcels-dense-flat", 0, 1)],
)  # fmt: skip
def test_of_a_pair_it_is_said_which_half_hands_have_no_time_for(
    at_home: Path, capsys: pytest.CaptureFixture[str], negative: str, short: int, long: int
) -> None:
    words = ("reach", "--negative", negative, "--way", "pair")
    code, said = _told(capsys, *words, "--save-record", "r.json")
    assert code == 0
    exposures = json.loads((at_home / "r.json").read_text())["exposures"]
    times_s = [one["time_s"] for one in exposures]
    carded = sum(bool(one["cards"]) for one in exposures if one["time_s"] < 7.95)
    assert [sum(t < 7.95 for t in times_s), sum(t > 30.05 for t in times_s)] == [short, long]
    assert said.count("too short for a card in and out") == carded, "no card is spoken of where none is"
    assert said.count("too short to be timed and repeated") == short - carded
    assert said.count("longer than the 30 s that hands hold still") == long
    assert "one at which hands have 8 to 30 s" not in said
    assert "No one aperture gives both exposures 8 to 30 s" in said
    assert "hands want" not in _told(capsys, *words, "--f-number", "8")[1], "nobody tells a printer what he chose"


def test_a_shorter_half_has_its_eight_seconds_where_a_mark_gives_them() -> None:
    lens = find_lens("80-mm")
    assert mark_for_hands(lens, 8.0, (5.7, 28.7)) == 8.0
    assert mark_for_hands(lens, 8.0, (5.7, 28.7), cards_first=True) == 11.0
    assert mark_for_hands(lens, 8.0, (9.0, 29.0), cards_first=True) == 8.0
    assert mark_for_hands(lens, 8.0, (0.5, 3.0), cards_first=True) == lens.smallest_f_number
    assert [too_short_for_hands(7.94), too_short_for_hands(7.96), too_long_for_hands(30.04), too_long_for_hands(30.06)] == [
        True, False, False, True,
    ]  # fmt: skip


def test_a_wide_ring_says_what_lies_beyond_hands(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("ring", "--negative", "morning-shelf", "--sheet", "60x75", "-o", "r.png", "--filters")
    wide = (*words, "00,5", "--stops", "2.5")
    said = _told(capsys, *wide)[1]
    times_s = [one["time_s"] for one in json.loads(_told(capsys, *wide, "--json")[1])["prints"]]
    short, long = sum(t < 7.95 for t in times_s), sum(t > 30.05 for t in times_s)
    assert min(short, long) > 0
    assert f"Shorter than the 8 s that hands want: {short} of 6, down to {min(times_s):.1f} s." in said
    assert f"Longer than the 30 s that hands want: {long} of 6, up to {max(times_s):.1f} s." in said
    assert "that hands want" not in _told(capsys, *words, "2,3", "--stops", "0.2")[1]


@pytest.mark.parametrize(
    ("time_s", "said"),
    [("15", "Shorter than the 8 s that hands want: 1 of 3, down to 7.5 s."),
     ("16", "Longer than the 30 s that hands want: 1 of 3, up to 32.0 s.")],
)  # fmt: skip
def test_a_ring_of_a_said_time_tells_eight_seconds_from_less_and_thirty_from_more(
    at_home: Path, capsys: pytest.CaptureFixture[str], time_s: str, said: str
) -> None:
    """Three prints a stop apart: 7.5, 15 and 30 s, or 8, 16 and 32 s. At 8 and at 30 hands still have their time."""
    words = ("ring", "--negative", "morning-shelf", "--sheet", "60x75", "-o", "r.png", "--filters", "2", "--stops", "1")
    told = _told(capsys, *words, "--time", time_s)[1]
    assert said in told
    assert told.count("that hands want") == 1


@pytest.mark.parametrize("told", [("--right", "12", "--negative", "morning-shelf"), ("--coin", "8,16")])
def test_a_name_of_two_letters_makes_a_file_that_can_be_read(
    at_home: Path, capsys: pytest.CaptureFixture[str], told: tuple[str, ...]
) -> None:
    words = ("calibrate", "enlarger", "--name", "m2")
    assert _told(capsys, *words, *told)[0] == 0
    assert find_head("own:m2", own_shelf()).title == "Own m2"
    assert _told(capsys, *words, "--coin", "4,6")[0] == 0, "it is read again and added to"


def test_what_could_not_be_read_again_is_not_written(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("calibrate", "enlarger", "--coin", "8,16", "--name")
    code, said = _told(capsys, *words, "mine", "--title", "M")
    assert code == 2
    assert "head.title: must have at least 3 characters, got 'M'" in said
    code, said = _told(capsys, *words, "m" * 41)
    assert code == 2
    assert "--name must be two to forty small letters" in said
    assert not (at_home / "shelf").exists()


def test_a_flash_strip_below_the_threshold_says_so(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("strip", "--negative", "morning-shelf", "--way", "flash", "--steps", "3", "-o", "f.png", "--first")
    assert "No step shows a tone yet" in _told(capsys, *words, "1")[1]
    assert "No step shows a tone yet" not in _told(capsys, *words, "20")[1]


def test_the_map_of_an_older_record_keeps_its_own_darkroom_s_seconds(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    set_up = ("--negative", "morning-shelf", "--filter", "2")
    assert _told(capsys, "calibrate", "enlarger", "--name", "mine", "--right", "12", *set_up)[0] == 0
    print_it = ("print", *set_up, "--head", "own:mine", "--time", "12", "--save-record", "then.json", "-o", "p.png")
    assert _told(capsys, *print_it)[0] == 0
    now = _told(capsys, "reprint", "then.json", "--size", "127x178")[1]
    assert "\N{EN DASH}" in now
    assert "measured anew since" not in now
    assert _told(capsys, "calibrate", "enlarger", "--name", "mine", "--right", "14", *set_up)[0] == 0
    then = _told(capsys, "reprint", "then.json", "--size", "127x178")[1]
    assert "It has been measured anew since: no interval of today's belongs to them" in then
    assert "\N{EN DASH}" not in then
    assert _told(capsys, "map", "then.json", "-o", "m.png")[0] == 0
    words = _words_of_map(at_home / "then.json")
    assert "in nine of ten" not in words
    assert "measured anew since" in words
    assert "Picture and readings are of your enlarger as it is known today" in words


def _words_of_map(file: Path) -> str:
    texts = (text.get_text() for figure in map_pages(read_record(file)) for axes in figure.axes for text in axes.texts)
    return " ".join(" ".join(texts).split())


def test_the_map_of_an_older_record_stands_on_one_page(
    at_home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An upright sheet with a burn and nine places: what is said of seconds of then left no room for the last of them."""
    words = ("print", "--negative", "racks-thin", "--sheet", "203x254", "--filter", "4", "--time", "29.9", "--f-number", "11")
    assert _told(capsys, *words, "burn=25,210:0.5:40", "--save-record", "r.json", "-o", "p.png")[0] == 0
    assert len(map_pages(read_record(at_home / "r.json"))) == 1
    said = "Seconds are those of your enlarger as it was known when this record was written. It has been measured anew since: "
    said += "no interval of today's belongs to them. Make a strip, or set the print up anew for today's seconds."
    monkeypatch.setattr("sim.notebook.printing_map.since_then", lambda record: said)
    assert len(map_pages(read_record(at_home / "r.json"))) == 1


def test_a_second_table_begins_nothing_anew_unasked(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (at_home / "t.csv").write_text(TABLE)
    words = ("calibrate", "enlarger", "t.csv", "--name", "mine")
    assert _told(capsys, *words)[0] == 0
    assert _told(capsys, "calibrate", "enlarger", "--name", "mine", "--coin", "4,6")[0] == 0
    file = at_home / "shelf" / "heads" / "mine.toml"
    before = file.read_bytes()
    code, said = _told(capsys, *words)
    assert code == 2
    assert "own:mine is known already" in said
    assert "--anew" in said
    assert file.read_bytes() == before
    code, said = _told(capsys, *words, "--anew")
    assert code == 0
    assert "begun anew" in said
    assert "no mark after 4 min" in said, "the coin lay in the room, whatever the table says"


def test_a_coin_alone_is_one_step_like_any_other(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = _told(capsys, "calibrate", "enlarger", "--name", "mine", "--coin", "4,6", *LARGE)
    assert code == 0
    assert "Safelight: no mark after 4 min, a mark after 6" in said
    assert "nothing is known of its light yet" in said
    more = ("--right", "12", "--negative", "morning-shelf", *LARGE)
    assert _told(capsys, "calibrate", "enlarger", "--name", "mine", *more)[0] == 0
    assert "safe_min = 4" in (at_home / "shelf" / "heads" / "mine.toml").read_text()
    assert _told(capsys, "calibrate", "enlarger", "--name", "mine")[0] == 2, "nothing at all is refused"


def test_a_refusal_counts_lines_as_an_editor_does(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    header, first, *_ = TABLE.splitlines()
    (at_home / "t.csv").write_text(f"\n\n{header}\n\n{first}\n\n{first.replace('0.74', '2.30')}\n")
    code, said = _told(capsys, "calibrate", "enlarger", "t.csv", "--name", "mine")
    assert code == 2
    assert "line 7: density must be a middle grey" in said
    (at_home / "t.csv").write_text(f"\n\n{header.replace('seconds', 'minutes')}\n{first}\n")
    assert "line 3: must begin with" in _told(capsys, "calibrate", "enlarger", "t.csv", "--name", "mine")[1]


def test_a_strip_of_burns_in_stops_has_no_first_step_to_say(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("strip", "--negative", "step-wedge", "--way", "burn", "--over", "2:10", "-o", "s.png")
    code, said = _told(capsys, *words, "--first", "5")
    assert code == 2
    assert "--first must be left out" in said
    made = json.loads(_told(capsys, *words, "--first", "5", "--seconds", "2", "--steps", "3", "--json")[1])
    assert [step["time_s"] for step in made["steps"]] == [5.0, 7.0, 9.0]


def test_a_burn_over_two_halves_is_told_against_its_own_half(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The map, the notebook and the words agree: two stops of a half are four times that half's light."""
    words = ("print", "--negative", "morning-shelf", "--sheet", "60x75", "--filter", "1", "time=8", "then=4:6")
    holes = ("burn=30,30:2:20", "burn=30,30:2:20:filter=4")
    assert _told(capsys, *words, *holes, "--save-record", "r.json", "-o", "p.png")[0] == 0
    exposures = json.loads((at_home / "r.json").read_text())["exposures"]
    assert [one["time_s"] for one in exposures] == pytest.approx([8.0, 6.0, 24.0, 18.0])
    of_map = _words_of_map(at_home / "r.json")
    assert of_map.count("+2.0") == 2
    for name in "14":
        assert f"Burn in, stops over what the place had through filter {name} before" in of_map
        told = describe(read_record(at_home / "r.json"))
        assert any(f"burn in 2 stops over the light of filter {name}" in line for line in told)


def test_a_burn_behind_a_filter_of_its_own_is_told_against_all_light_and_says_so(
    at_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("print", "--negative", "morning-shelf", "--sheet", "60x75", "--filter", "1", "time=8", "then=4:6")
    assert _told(capsys, *words, "burn=30,30:1:20:filter=2", "--save-record", "r.json", "-o", "p.png")[0] == 0
    exposures = json.loads((at_home / "r.json").read_text())["exposures"]
    assert exposures[2]["time_s"] == pytest.approx(14.0), "as much again as both gave"
    assert "Burn in, stops over all light the place had through the negative before" in _words_of_map(at_home / "r.json")
    assert any("burn in 1 stop over all light before" in line for line in describe(read_record(at_home / "r.json")))


def test_a_second_burn_counts_the_first_behind_the_same_filter(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("print", "--negative", "morning-shelf", "--sheet", "60x75", "--filter", "1", "time=8", "then=4:6")
    assert _told(capsys, *words, "burn=30,30:1:20", "burn=30,30:1:10", "--save-record", "r.json", "-o", "p.png")[0] == 0
    exposures = json.loads((at_home / "r.json").read_text())["exposures"]
    assert [one["time_s"] for one in exposures[2:]] == pytest.approx([8.0, 16.0])


def test_a_map_of_two_pages_names_both_files(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    holes = [f"burn={15 + 6 * k},30:0.3:8" for k in range(6)]
    words = ("print", "--negative", "morning-shelf", "--sheet", "60x75", *holes, "--save-record", "r.json", "-o", "p.png")
    assert _told(capsys, *words)[0] == 0
    said = _told(capsys, "map", "r.json", "-o", "m.png", "--large")[1]
    files = sorted(file.name for file in at_home.glob("m*.png"))
    assert len(files) > 1
    assert all(name in said for name in files)


def test_the_words_of_a_card_stand_in_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["print", "--help"])
    said = " ".join(capsys.readouterr().out.split())
    for word in ("height=MM", "angle=DEG", "still", "outline=X,Y;X,Y;X,Y", "filter=NAME"):
        assert word in said


def test_before_any_print_an_enlarger_is_as_unsure_as_heads_of_its_kind(
    at_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Heads of a kind are a stop apart (0.3 log10 standard deviation): 1.645 of it, and what prints scatter, in stops."""
    said = _told(capsys, "calibrate", "enlarger", "--name", "mine", "--coin", "4,6", *LARGE)[1]
    within = float(re.findall("right within ±([0-9.]+) stop", said)[0])
    assert 1.0 < within / (1.645 * 0.3 / 0.30103) < 1.15


def test_a_head_named_beside_a_known_enlarger_begins_nothing_anew_unasked(
    at_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("calibrate", "enlarger", "--name", "mine", "--negative", "morning-shelf")
    assert _told(capsys, *words, "--right", "12")[0] == 0
    file = at_home / "shelf" / "heads" / "mine.toml"
    before = file.read_bytes()
    code, said = _told(capsys, *words, "--right", "12.5", *LARGE)
    assert code == 2
    assert "own:mine is known already, and --head diffusion-sheet would begin it anew" in said
    assert "Leave --head out, and the print is added" in said
    assert file.read_bytes() == before
    assert "now known from 2 prints" in _told(capsys, *words, "--right", "12.5")[1]
    assert "begun anew from" in _told(capsys, *words, "--right", "12.5", *LARGE, "--anew")[1]
