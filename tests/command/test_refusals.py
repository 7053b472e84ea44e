"""A confused user: exit code 2, one line on stderr that says what is wrong, no traceback, nothing left behind."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from running import Run, left_over

WEDGE = ("--negative", "wedge.toml", "--sheet", "120x60")

# words of the command, words of the one line
CONFUSED: dict[str, tuple[tuple[str, ...], str]] = {
    "no-such-verb": (("prnt",), "invalid choice: 'prnt'"),
    "no-such-option": (("print", *WEDGE, "--tiem", "4"), "unrecognized arguments: --tiem"),
    "too-many-words": (("sleeves", "extra"), "unrecognized arguments: extra"),
    "option-without-value": (("print", "--time"), "argument --time: expected one argument"),
    "no-negative": (("print",), "--negative must name a sleeve; `tonewright sleeves` lists them, got none"),
    "empty-negative": (("print", "--negative", ""), "--negative must name a sleeve"),
    "unknown-negative": (("print", "--negative", "moring-shelf"), "must be one of against-the-window,"),
    "absent-sleeve": (("print", "--negative", "none.toml"), "none.toml: cannot be opened (No such file or directory)"),
    "a-folder-as-sleeve": (("print", "--negative", "folder.toml"), "folder.toml: must be a regular file, got a folder"),
    "unknown-paper": (("print", *WEDGE, "--paper", "tin"), "paper: must be one of glossy-fb-vc"),
    "empty-paper": (("print", *WEDGE, "--paper", ""), "must be one of glossy-fb-vc"),
    "time-with-unit": (("print", *WEDGE, "--time", "10s"), "argument --time: invalid float value: '10s'"),
    "time-zero": (("print", *WEDGE, "--time", "0"), "time_s must be between 0.1 and 600 s, got 0.0"),
    "time-negative": (("print", *WEDGE, "--time", "-3"), "time_s must be between 0.1 and 600 s, got -3.0"),
    "time-nan": (("print", *WEDGE, "--time", "nan"), "time_s must be between 0.1 and 600 s, got nan"),
    "time-for-ever": (("print", *WEDGE, "--time", "inf"), "time_s must be between 0.1 and 600 s, got inf"),
    "time-in-other-digits": (("print", *WEDGE, "--time", "1O"), "invalid float value: '1O'"),
    "aperture-as-engraved": (("print", *WEDGE, "--f-number", "f/8"), "invalid float value: 'f/8'"),
    "aperture-too-wide": (("print", *WEDGE, "--f-number", "2"), "f_number must be between 2.8 and 64, got 2.0"),
    "aperture-not-on-the-lens": (("print", *WEDGE, "--f-number", "64"), "on the 80 mm lens, got 64"),
    "filter-six": (("print", *WEDGE, "--filter", "6"), "filter must be none, one of 00, 0, 0.5"),
    "filter-empty": (("print", *WEDGE, "--filter", ""), "filter must be none, one of 00, 0, 0.5"),
    "yellow-negative": (("print", *WEDGE, "--yellow", "-1"), "yellow must be between 0 and 3, got -1.0"),
    "yellow-nan": (("print", *WEDGE, "--yellow", "nan"), "yellow must be between 0 and 3, got nan"),
    "sheet-in-inches": (("print", *WEDGE, "--sheet", "8x10"), "--sheet width must be between 20 and 700 mm, got 8.0"),
    "sheet-one-number": (("print", *WEDGE, "--sheet", "203"), "--sheet must be two sizes in mm such as 203x254, got '203'"),
    "sheet-three-numbers": (("print", *WEDGE, "--sheet", "1x2x3"), "--sheet must be two sizes in mm"),
    "sheet-empty": (("print", *WEDGE, "--sheet", ""), "--sheet must be two sizes in mm such as 203x254, got ''"),
    "sheet-with-a-cross": (("print", *WEDGE, "--sheet", "203×254"), "got '203×254'"),
    "sheet-negative": (("print", *WEDGE, "--sheet=-203x254"), "--sheet width must be between 20 and 700 mm, got -203.0"),
    "sheet-nan": (("print", *WEDGE, "--sheet", "nanx254"), "--sheet width must be between 20 and 700 mm, got nan"),
    "sheet-huge": (("print", *WEDGE, "--sheet", "2000x2000"), "--sheet width must be between 20 and 700 mm, got 2000.0"),
    "border-negative": (("print", *WEDGE, "--border", "-4"), "--border must be between 0 and 100 mm, got -4.0"),
    "border-nan": (("print", *WEDGE, "--border", "nan"), "--border must be between 0 and 100 mm, got nan"),
    "border-all": (("print", *WEDGE, "--border", "90"), "border_mm must leave paper uncovered, got 90.0"),
    "height-under-the-floor": (("print", *WEDGE, "--height", "-5"), "height_mm must be between 100 and 3000 mm, got -5.0"),
    "height-through-the-roof": (("print", *WEDGE, "--height", "2500"), "height_mm must be between 180 and 1200 on the column"),
    "height-nan": (("print", *WEDGE, "--height", "nan"), "height_mm must be between 100 and 3000 mm, got nan"),
    "height-without-focus": (("print", *WEDGE, "--height", "250"), "below that nothing can be focused"),
    "unknown-head": (("print", *WEDGE, "--head", "sun"), "head: must be one of diffusion-small"),
    "unknown-lens": (("print", *WEDGE, "--lens", "magnifier"), "lens: must be one of 50-mm"),
    "short-lens": (("print", *WEDGE, "--lens", "50-mm"), "50 mm lens covers a diagonal of 44 mm"),
    "dim-viewing": (("print", *WEDGE, "--lux", "0"), "--lux must be between 50 and 5000 lux, got 0.0"),
    "view-in-blue": (("print", *WEDGE, "--view", "blue"), "invalid choice: 'blue'"),
    "loupe-at-nothing": (("print", *WEDGE, "--loupe", "nose"), "--loupe must be one of step-1"),
    "absent-record": (("print", "none.json"), "none.json: cannot be opened (No such file or directory)"),
    "a-folder-as-record": (("print", "."), "must be a regular file, got a folder"),
    "an-endless-record": (("print", "/dev/zero"), "/dev/zero: must be a regular file, got a pipe or device"),
    "a-sleeve-as-record": (("print", "wedge.toml"), "wedge.toml: is not valid JSON"),
    "absent-targets": (("print", *WEDGE, "--targets", "none.toml"), "none.toml: cannot be opened"),
    "a-sleeve-as-targets": (("print", *WEDGE, "--targets", "wedge.toml"), "target: is required and missing"),
    "strip-at-nothing": (("strip", *WEDGE, "--at", "nose"), "--at must be one of step-1"),
    "strip-at-empty": (("strip", *WEDGE, "--at", ""), "--at must be one of step-1"),
    "strip-one-step": (("strip", *WEDGE, "--steps", "1"), "a strip must have 2 to 20 steps, got 1"),
    "strip-million-steps": (("strip", *WEDGE, "--steps", "1000000"), "a strip must have 2 to 20 steps, got 1000000"),
    "strip-half-steps": (("strip", *WEDGE, "--steps", "2.5"), "invalid int value: '2.5'"),
    "strip-no-stops": (("strip", *WEDGE, "--stops", "0"), "step_stops must be above 0, got 0.0"),
    "strip-nan-stops": (("strip", *WEDGE, "--stops", "nan"), "step_stops must be above 0, got nan"),
    "strip-endless-stops": (("strip", *WEDGE, "--stops", "100000"), "a strip must not span more than 20 stops"),
    "strip-too-long": (("strip", *WEDGE, "--first", "100", "--stops", "1"), "time_s must be between 0.1 and 600 s"),
    "strip-no-seconds": (("strip", *WEDGE, "--seconds", "0"), "a strip's times must rise from step to step"),
    "strip-backwards": (("strip", *WEDGE, "--seconds", "-1"), "a strip's times must rise from step to step"),
    "strip-both-ways": (("strip", *WEDGE, "--seconds", "1", "--stops", "1"), "not allowed with argument"),
    "strip-nowhere": (("strip", *WEDGE, "--along", "nan"), "a strip's direction must be a number of degrees, got nan"),
    "strip-in-all-directions": (("strip", *WEDGE, "--along", "inf"), "a strip's direction must be a number of degrees"),
    "strip-over-filter": (("strip", *WEDGE, "--over", "00"), "--over must be a filter and seconds such as 00:6, got '00'"),
    "strip-over-nothing": (("strip", *WEDGE, "--over", ":"), "--over must be a filter and seconds"),
    "strip-over-unknown": (("strip", *WEDGE, "--over", "7:6"), "filter must be none, one of"),
    "strip-over-nan": (("strip", *WEDGE, "--over", "00:nan"), "--over, seconds must be a finite number, got 'nan'"),
    "paper-unknown": (("paper", "tin"), "paper: must be one of"),
    "paper-filters-file": (("paper", "wedge.toml"), "support: is required and missing"),
    "paper-head": (("paper", "glossy-rc-vc", "--head", "sun"), "head: must be one of"),
    "paper-undeveloped": (("paper", "glossy-rc-vc", "--development", "0"), "the paper must reach 1.2 above base and fog"),
    "paper-pulled": (("paper", "glossy-rc-vc", "--development", "8"), "developed for 8 s it reaches 0."),
    "paper-overdeveloped": (("paper", "glossy-rc-vc", "--development", "1e9"), "time_s must be between 0 and 900 s"),
    "reach-without-aims": (("reach", "--negative", "focus-target"), "names no lightest or darkest place; give --targets"),
    "reach-card-nowhere": (("reach", "--negative", "morning-shelf", "--card", "nose"), "--card must be one of "),
    "reach-no-time": (("reach", "--negative", "morning-shelf", "--longest", "0.5"),
                      "--shortest must be below --longest, got 1 and 0.5 s"),
    "reach-for-hours": (("reach", "--negative", "morning-shelf", "--longest", "9999"),
                        "--shortest and --longest must lie between 0.1 and 600 s, got 1 and 9999"),
    "reach-backwards": (("reach", "--negative", "morning-shelf", "--shortest", "10", "--longest", "5"),
                        "--shortest must be below --longest, got 10 and 5 s"),
    "reach-no-longer": (("reach", "--negative", "morning-shelf", "--shortest", "5", "--longest", "5"),
                        "--shortest must be below --longest, got 5 and 5 s"),
    "variant-of-nothing": (("print", "--negative=~"), "tonewright print: no name: negative: must be one of"),
    "dials-behind-a-filter": (("print", *WEDGE, "--filter", "3", "--yellow", "0.3"), "--filter and --yellow exclude each"),
    "filter-before-the-dials": (("strip", *WEDGE, "--magenta", "0", "--filter", "2"), "--filter and --magenta exclude each"),
    "keep-through-nothing": (("meter", *WEDGE, "--keep", "step-1"), "--keep needs a change to keep the tone through"),
    "keep-nowhere": (("meter", *WEDGE, "--keep", "nose", "--to-f-number", "11"), "--keep must be one of step-1"),
    "keep-no-name": (("meter", *WEDGE, "--keep", "", "--to-f-number", "11"), "--keep must be one of step-1"),
    "print-as-text": (("print", *WEDGE, "-o", "print.txt"), "-o must be a file ending in .png, for a PNG is what is written"),
    "strip-as-jpeg": (("strip", *WEDGE, "-o", "new/strip.jpg"), "-o must be a file ending in .png"),
    "ring-as-page": (("ring", *WEDGE, "-o", "ring.pdf"), "-o must be a file ending in .png"),
    "curves-as-page": (("paper", "glossy-rc-vc", "--plot", "curves.pdf"), "--plot must be a file ending in .png"),
    "reach-nan": (("reach", "--negative", "morning-shelf", "--longest", "nan"), "--shortest and --longest must lie between"),
    "generate-nothing": (("generate", "nothing-fits"), "no recipe fits nothing-fits"),
    "generate-no-jobs": (("generate", "--jobs", "0"), "--jobs must be between 1 and 64, got 0"),
    "generate-nowhere": (("generate", "--folder", "/none"), "/none/recipes.toml: cannot be opened"),
    "scan-nothing": (("scan", "none.png"), "none.png: cannot be opened"),
    "scan-a-sleeve": (("scan", "wedge.toml"), "wedge.toml: must be a PNG, TIFF or JPEG picture"),
    "nul": (("print", "a\0b.json"), "cannot be opened (embedded null byte)"),
    "line-break-in-a-name": (("print", "a\nb\x1b[31m.json"), "a b [31m.json: cannot be opened"),
}  # fmt: skip


@pytest.mark.parametrize("case", CONFUSED)
def test_a_confused_user_is_told_in_one_line(case: str, run: Run, here: Path) -> None:
    (here / "folder.toml").mkdir()
    before = sorted(p.name for p in here.iterdir())
    words, line = CONFUSED[case]
    done = run(*words)
    assert done.code == 2
    assert done.out == ""
    assert done.err.count("\n") == 1, done.err
    assert done.err.startswith("tonewright")
    assert "Traceback" not in done.err
    assert line in done.err, done.err
    assert sorted(p.name for p in here.iterdir()) == before


# where the output goes, words of the line (None: it is written)
OUTPUTS: dict[str, tuple[str, str | None]] = {
    "a-folder": ("folder.toml", "must be a regular file, got a folder"),
    "this-folder": (".", "must be a regular file, got a folder"),
    "the-root": ("/", "must be a regular file, got a folder"),
    "below-a-file": ("wedge.toml/print.png", "cannot be written"),
    "a-place-nobody-may-write": ("/proc/print.png", "/proc/print.png: cannot be written"),
    "a-device": ("/dev/null", "/dev/null: cannot be written (must be a regular file, got a pipe or device)"),
    "a-name-too-long": ("x" * 300, "File name too long"),
    "a-new-folder": ("new/inner/print.png", None),
    "spaces-and-signs": ("a b/ü – [red].png", None),
    "no-suffix": ("print", None),
}


@pytest.mark.parametrize("option", ["-o", "--save-record"])
@pytest.mark.parametrize("case", OUTPUTS)
def test_an_output_that_cannot_be_written_is_named(case: str, option: str, run: Run, here: Path) -> None:
    (here / "folder.toml").mkdir()
    sleeve = (here / "wedge.toml").read_bytes()
    where, words = OUTPUTS[case]
    other = () if option == "-o" else ("-o", "print.png")
    done = run("print", *WEDGE, option, where, *other)
    if words is None:
        folder = Path(where).parent
        assert (done.code, done.err) == (0, "" if folder == Path() else f"Made the folder {folder}\n")
        assert (here / where).stat().st_size > 100
    else:
        assert done.code == 2
        assert done.err.count("\n") == 1
        assert words in done.err
        assert where in done.err or str(here) in done.err
    assert left_over(here) == []
    assert (here / "wedge.toml").read_bytes() == sleeve
    assert list((here / "folder.toml").iterdir()) == []


def test_a_disk_that_fills_up_leaves_the_old_print(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert run("print", *WEDGE, "-o", "a.png").code == 0
    before = (here / "a.png").read_bytes()

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    done = run("print", *WEDGE, "--time", "20", "-o", "a.png")
    monkeypatch.undo()
    assert done.code == 2
    assert done.err == f"tonewright print: {here / 'a.png'}: cannot be written (No space left on device)\n"
    assert (here / "a.png").read_bytes() == before
    assert left_over(here) == []


def test_a_fault_of_ours_is_not_hidden(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: object) -> None:
        raise TypeError("a fault in the program")

    monkeypatch.setattr("sim.paper.stock.stock_names", broken)
    with pytest.raises(TypeError, match="a fault in the program"):
        run("paper")


def test_stopping_by_hand_is_no_fault(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("sim.paper.stock.stock_names", stopped)
    done = run("paper")
    assert (done.code, done.err) == (130, "stopped\n")


def test_a_huge_sheet_of_small_film_is_printed_coarser_instead_of_not_at_all(run: Run, here: Path) -> None:
    from sim.enlarger.easel import MAX_SHEET_PX, sheet_grid
    from sim.enlarger.settings import set_up
    from sim.negative.develop import develop
    from sim.negative.sleeve import read_sleeve
    from sim.printing.record_file import read_record

    assert run("print", *WEDGE, "--height", "330", "-o", "a.png", "--save-record", "a.json").code == 0
    negative, record = develop(read_sleeve(here / "wedge.toml")), read_record(here / "a.json")
    grid = sheet_grid(negative, set_up(record.enlarger, negative), 700.0, 700.0, 6.0, (0.0, 0.0))
    assert 0.9 * MAX_SHEET_PX < grid.rows * grid.cols < 1.01 * MAX_SHEET_PX
    assert grid.rows / grid.px_per_mm == pytest.approx(700.0, abs=0.5)
