"""Every verb once and more: what it writes is whole, what it says is true, its JSON parses."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from running import Run, left_over, picture

from sim.command.main import VERBS
from sim.negative.develop import develop
from sim.negative.sleeve import read_sleeve, sleeve_names
from sim.paper.stock import find_stock, stock_names
from sim.printing.make_print import make_print
from sim.printing.picture_fineness import picture_of
from sim.printing.record_file import read_record
from sim.version import VERSION
from sim.viewing.densitometer import read_place
from sim.viewing.lightness import safelight_values, screen_values

OWN = ("--negative", "wedge.toml")  # beside a record: where its own negative lies
WEDGE = (*OWN, "--sheet", "120x60")


def test_a_print_is_written_as_it_reads(run: Run, here: Path) -> None:
    done = run("print", *WEDGE, "-o", "out/print.png", "--save-record", "out/print.json", "--json")
    assert (done.code, done.err) == (0, "Made the folder out\n")
    data = json.loads(done.out)
    record = read_record(here / "out/print.json")
    negative = develop(read_sleeve(Path("wedge.toml")))
    sheet = make_print(negative, record, find_stock(record.sheet.paper))
    drawn, _ = picture_of(negative, record, find_stock(record.sheet.paper), sheet)
    np.testing.assert_array_equal(picture(here / "out/print.png"), screen_values(drawn.density, 500.0))
    readings = {row["place"]: row["print_density"] for row in data["readings"]}
    assert readings == {p.name: round(read_place(sheet, p), 3) for p in negative.places if p.name in readings}
    assert len(readings) == 21
    assert data["negative_changed"] is False
    assert left_over(here) == []


def test_the_print_of_a_saved_record_is_the_same_print(run: Run, here: Path) -> None:
    options = ("--time", "7.5", "--filter", "3.5", "--f-number", "11", "--border", "4", "--paper", "matt-fb-vc")
    first = run("print", *WEDGE, *options, "-o", "a.png", "--save-record", "a.json", "--json")
    again = run("print", "a.json", *OWN, "-o", "b.png", "--save-record", "b.json", "--json")
    assert (first.code, again.code) == (0, 0)
    assert (here / "a.png").read_bytes() == (here / "b.png").read_bytes()
    assert (here / "a.json").read_bytes() == (here / "b.json").read_bytes()
    assert json.loads(first.out)["readings"] == json.loads(again.out)["readings"]


def test_every_setting_reaches_the_record(run: Run, here: Path) -> None:
    done = run("print", *WEDGE, "--time", "7.5", "--f-number", "11", "--yellow", "0.3", "--border", "3",
               "--paper", "graded-fb-2", "--head", "led-sheet", "--lens", "105-mm", "--height", "700",
               "-o", "a.png", "--save-record", "a.json")  # fmt: skip
    assert done.code == 0, done.err
    record = read_record(here / "a.json")
    exposure = record.exposures[0]
    assert (exposure.time_s, exposure.f_number, exposure.filter.yellow, exposure.filter.graded) == (7.5, 11, 0.3, None)
    assert (record.sheet.paper, record.sheet.border_mm, record.sheet.width_mm) == ("graded-fb-2", 3, 120)
    assert (record.enlarger.head, record.enlarger.lens, record.enlarger.height_mm) == ("led-sheet", "105-mm", 700)
    assert record.negative == "own:wedge"


@pytest.mark.parametrize("view", ["white", "amber", "red"])
def test_the_light_it_is_looked_at_in_changes_the_picture(view: str, run: Run, here: Path) -> None:
    assert run("print", *WEDGE, "-o", "a.png", "--view", view, "--save-record", "a.json").code == 0
    record = read_record(here / "a.json")
    made = develop(read_sleeve(Path("wedge.toml"))), record, find_stock(record.sheet.paper)
    density = picture_of(*made, make_print(*made))[0].density
    wanted = screen_values(density, 500.0) if view == "white" else safelight_values(density, view)
    np.testing.assert_array_equal(picture(here / "a.png"), wanted)


def test_a_wet_print_is_lighter_in_the_lights(run: Run, here: Path) -> None:
    dry, wet = (json.loads(run("print", *WEDGE, "--paper", "glossy-fb-vc", "--json", "-o", "a.png", *more).out)["readings"]
                for more in ((), ("--wet",)))  # fmt: skip
    pairs = [(d["print_density"], w["print_density"]) for d, w in zip(dry, wet, strict=True)]
    lights = [(d, w) for d, w in pairs if 0.15 < d < 0.6]
    assert lights
    assert all(w < d for d, w in lights)


def test_targets_are_scored(run: Run, here: Path) -> None:
    base = json.loads(run("print", *WEDGE, "--json", "-o", "a.png").out)["readings"]
    row = next(r for r in base if 0.5 < r["print_density"] < 1.2)
    text = "format = 1\n[[target]]\nplace = '{}'\ndensity = {}\ntolerance_density = 0.02\npoints = 4.0\n"
    (here / "hit.toml").write_text(text.format(row["place"], row["print_density"]), "utf-8")
    (here / "miss.toml").write_text(text.format(row["place"], row["print_density"] + 0.5), "utf-8")
    for name, points in (("hit", 4.0), ("miss", 0.0)):
        done = run("print", *WEDGE, "--targets", f"{name}.toml", "--json", "-o", "a.png")
        assert json.loads(done.out)["marks"]["points"] == points
    table = run("print", *WEDGE, "--targets", "hit.toml", "-o", "a.png")
    assert "Marks: 4.0 of 4" in table.out


def test_a_place_name_with_brackets_in_it_is_shown_as_it_is(run: Run, here: Path) -> None:
    text = "format = 1\n[[target]]\nplace = 'a [/bold] b'\nx = 0.5\ny = 0.5\ndensity = 0.5\n"
    (here / "t.toml").write_text(text, "utf-8")
    done = run("print", *WEDGE, "--targets", "t.toml", "-o", "a.png")
    assert done.code == 0, done.err
    assert "a [/bold] b" in done.out


def test_the_note_of_a_changed_negative_is_given(run: Run, here: Path) -> None:
    run("print", *WEDGE, "-o", "a.png", "--save-record", "a.json")
    (here / "wedge.toml").write_text((here / "wedge.toml").read_text("utf-8") + "development = 1.3\n", "utf-8")
    assert json.loads(run("print", "a.json", *OWN, "-o", "a.png", "--json").out)["negative_changed"] in (True, False)
    data = json.loads((here / "a.json").read_text("utf-8"))
    data["negative_digest"] = "0" * 64
    (here / "a.json").write_text(json.dumps(data), "utf-8")
    assert json.loads(run("print", "a.json", *OWN, "-o", "a.png", "--json").out)["negative_changed"] is True
    assert "written for a negative with other densities" in run("print", "a.json", *OWN, "-o", "a.png").out


@pytest.mark.parametrize(
    ("way", "spacing"),
    [("bursts", ("--stops", "0.5")), ("bursts", ("--seconds", "3")), ("covered", ("--stops", "0.5")),
     ("covered", ("--seconds", "3")), ("same-place", ("--stops", "0.5"))],
)
def test_a_strip_darkens_from_step_to_step(way: str, spacing: tuple[str, str], run: Run, here: Path) -> None:
    done = run("strip", *WEDGE, "--at", "step-9", "--way", way, *spacing, "--steps", "3", "--first", "4",
               "--along", "0", "--whole-sheet", "-o", "s.png", "--save-record", "s.json", "--json")  # fmt: skip
    assert done.code == 0, done.err
    steps = json.loads(done.out)["steps"]
    wanted = [4 * 2 ** (0.5 * k) for k in range(3)] if spacing[0] == "--stops" else [4.0 + 3 * k for k in range(3)]
    assert [s["time_s"] for s in steps] == pytest.approx(wanted, abs=1e-3)
    if way == "same-place":
        densities = [s["density"] for s in steps]
        assert densities == sorted(densities)
        assert densities[-1] > densities[0] + 0.1
    assert picture(here / "s.png").ndim == 2
    assert run("print", "s.json", *OWN, "-o", "again.png").code == 0
    np.testing.assert_array_equal(picture(here / "again.png"), picture(here / "s.png"))


def test_a_strip_over_a_soft_exposure_is_darker(run: Run, here: Path) -> None:
    plain, over = (json.loads(run("strip", *WEDGE, "--filter", "5", "--json", "-o", "s.png", *more).out)["steps"]
                   for more in ((), ("--over", "00:8")))  # fmt: skip
    assert all(o["density"] >= p["density"] for p, o in zip(plain, over, strict=True))
    assert sum(o["density"] for o in over) > sum(p["density"] for p in plain) + 0.3


def test_a_strip_printed_from_its_record_is_read_step_by_step(run: Run, here: Path) -> None:
    strip = ("strip", *WEDGE, "--at", "step-9", "--way", "same-place", "--steps", "3", "--json", "-o", "s.png")
    laid = json.loads(run(*strip, "--save-record", "s.json").out)
    printed = json.loads(run("print", "s.json", *OWN, "-o", "p.png", "--json").out)
    assert printed["steps"] == laid["steps"]
    assert "readings" not in printed
    assert "shows, and reads" in run("print", "s.json", *OWN, "-o", "p.png").out


def test_a_quarter_strip_is_a_quarter_of_the_sheet(run: Run, here: Path) -> None:
    assert run("strip", *WEDGE, "-o", "s.png", "--save-record", "s.json").code == 0
    sheet = read_record(here / "s.json").sheet
    assert (sheet.kind, sheet.width_mm, sheet.height_mm) == ("strip", 30.0, 21.59)  # the wedge's picture is that high


def test_the_papers_are_listed_and_each_has_a_table(run: Run, here: Path) -> None:
    assert [row["name"] for row in json.loads(run("paper", "--json").out)] == list(stock_names())
    assert all(name in run("paper").out for name in stock_names())
    for name in stock_names():
        data = json.loads(run("paper", name, "--json").out)
        assert [row["filter"] for row in data["filters"]][:3] == ["none", "00", "0"]
        assert len(data["filters"]) == 13
    ranges = [row["iso_range"] for row in json.loads(run("paper", "glossy-rc-vc", "--json").out)["filters"][1:]]
    assert ranges == sorted(ranges, reverse=True), "harder filters have shorter ranges"
    table = run("paper", "glossy-rc-vc", "--plot", "curves.png")
    assert "ISO R" in table.out
    assert picture(here / "curves.png").size > 10_000


@pytest.mark.parametrize("way", ["one", "pair"])
def test_reach_says_in_exit_code_and_words_whether_it_can_be_done(way: str, run: Run, here: Path) -> None:
    base = json.loads(run("print", *WEDGE, "--json", "-o", "a.png").out)["readings"]
    row = next(r for r in base if 0.5 < r["print_density"] < 1.2)
    text = "format = 1\n[[target]]\nplace = '{}'\ndensity = {}\n"
    (here / "can.toml").write_text(text.format(row["place"], row["print_density"]), "utf-8")
    both = text.format("step-3", 0.1) + "[[target]]\nplace = 'step-4'\ndensity = 1.9\n"
    (here / "cannot.toml").write_text(both, "utf-8")
    for name, code, words in (("can", 0, "Every goal is reached."), ("cannot", 1, "Not all goals can be reached:")):
        options = ("reach", *WEDGE, "--targets", f"{name}.toml", "--way", way)
        done = run(*options)
        assert (done.code, done.err) == (code, "")
        assert words in done.out
        data = json.loads(run(*options, "--json", "--save-record", "r.json").out)
        assert data["holds"] is (code == 0)
        assert bool(data["limits"]) is (code == 1)
        assert len(data["record"]["exposures"]) in ((1,) if way == "one" else (1, 2))  # a pair may come down to one
        assert run("print", "r.json", *OWN, "-o", "r.png", "--json").code == 0


def test_the_sleeves_are_listed(run: Run, here: Path) -> None:
    assert [row["name"] for row in json.loads(run("sleeves", "--json").out)] == list(sleeve_names())
    assert all(name in run("sleeves").out for name in sleeve_names())


def test_version_and_help_name_every_verb(run: Run) -> None:
    assert run("--version").out == f"tonewright {VERSION}\n"
    done = run("--help")  # without a verb the window opens: see tests/window/test_main_loop.py
    assert done.code == 0
    assert all(verb in done.out for verb in VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_explains_itself(verb: str, run: Run) -> None:
    done = run(verb, "--help")
    assert (done.code, done.err) == (0, "")
    assert VERBS[verb].split(",")[0].split(":")[0][1:] in " ".join(done.out.split())


def test_generate_makes_a_folder_from_its_recipes_and_checks_it(run: Run, here: Path) -> None:
    recipe = 'format = 1\n[[file]]\npath = "grain.png"\nmaker = "grain"\nseed = 5\nsize_px = 32\n'
    (here / "made").mkdir()
    (here / "made" / "recipes.toml").write_text(recipe, "utf-8")
    folder = ("--folder", "made")
    assert run("generate", "--check", *folder).code == 1
    assert run("generate", *folder, "--jobs", "1").code == 0
    assert picture(here / "made" / "grain.png").shape == (32, 32)
    assert json.loads(run("generate", "--check", *folder, "--json").out) == []
    (here / "made" / "stray.png").write_bytes((here / "made" / "grain.png").read_bytes())
    (here / "made" / "grain.png").write_bytes(b"\x89PNG\r\n\x1a\n damaged")
    found = json.loads(run("generate", "--check", *folder, "--json").out)
    assert {f["path"]: f["what"].split("(")[0].strip() for f in found} == {
        "stray.png": "has a file but no recipe", "grain.png": "is not a readable image",
    }  # fmt: skip
    for manifest in ("[]", "{}", '{"files": []}', '{"files": {"grain.png": 3}}', "{"):
        (here / "made" / "manifest.json").write_text(manifest, "utf-8")
        done = run("generate", "--check", *folder)
        assert done.code == 2
        assert "manifest.json" in done.err


def test_what_a_record_decides_is_not_decided_beside_it(run: Run, here: Path) -> None:
    assert run("print", *WEDGE, "-o", "a.png", "--save-record", "a.json").code == 0
    written = (here / "a.png").read_bytes()
    for more, words in (
        (("--time", "10"), "--time cannot stand beside a record"), (("--filter=2",), "--filter cannot stand beside a record"),
        (("--height", "700", "--yellow", "0"), "--height, --yellow cannot stand beside a record"),
        (("--paper", "matt-fb-vc"), "--paper beside a record must be its own glossy-rc-vc"),
        (("--negative", "morning-shelf"), "--negative beside a record must be its own own:wedge"),
    ):  # fmt: skip
        refused = run("print", "a.json", *OWN, *more, "-o", "a.png")
        assert (refused.code, refused.out) == (2, "")
        assert words in refused.err, refused.err
        assert (here / "a.png").read_bytes() == written
    assert run("print", "a.json", *OWN, "--paper", "glossy-rc-vc", "-o", "b.png").code == 0
    assert (here / "b.png").read_bytes() == written
