"""Words from outside reach terminal, page, window and table only as characters to be read."""

from __future__ import annotations

import csv
import io
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.command.main import main
from sim.command.pictures import show_table
from sim.marking.charts import _text
from sim.marking.course import Course
from sim.marking.gradebook import Column, cell_text
from sim.marking.pages import our_markup, page_text
from sim.plain_text import PlainStream, drawn_on, one_line, plain, plain_output, table_cell
from sim.reading import OutsideError, Problem, ValueRefused, parse_json, parse_toml, validate

ESC, RIGHT_TO_LEFT, LINE = "\x1b[31m", "\u202e", "\u2028"
BAD = f"ann{ESC}a \u202eevil\u2066 b\u200fc\x07\x9b\u2028d\ufeff\U000e0041"
DANGEROUS = set("\x1b\x07\x9b\u202e\u2066\u2028\u200f\ufeff\U000e0041\x00\r")


@given(st.text())
def test_plain_text_is_printable_whatever_came_in(text: str) -> None:
    left = plain(text)
    assert all(c.isprintable() or c in "\u200c\u200d" for c in left)
    assert plain(left) == left
    assert "\n" not in one_line(text)


@given(st.text(st.characters(categories=["L", "N", "P", "S"])))
def test_what_people_write_stays_as_it_is(text: str) -> None:
    assert plain(text) == text


def test_names_of_all_scripts_stay_whole() -> None:
    for name in ("Åsa Öberg", "李小龙", "محمد", "נועה", "می\u200cخواهم", "O'Néill-Ŝmith", "👩\u200d🔬"):
        assert plain(name) == name


def test_line_ends_stay_only_where_they_are_asked_for() -> None:
    assert plain("one\ntwo\tthree") == "one two three"
    assert plain("one\ntwo\tthree\r", breaks=True) == "one\ntwo\tthree "


def test_a_page_shows_outside_words_plain_and_our_own_markup_untouched() -> None:
    from jinja2 import Environment

    from sim.plain_text import finalized

    page = Environment(autoescape=True, finalize=finalized).from_string("<p>{{ name }}</p>{{ chart }}{{ n }}")
    out = page.render(name=f"<b>{BAD}", chart=our_markup("<svg></svg>"), n=3)
    assert not DANGEROUS & set(out)
    assert out.startswith("<p>&lt;b&gt;ann")
    assert out.endswith("<svg></svg>3")
    assert not DANGEROUS & set(_text(0.0, 0.0, BAD))
    assert page_text.__module__ == "sim.marking.pages"


def test_the_pages_for_learners_and_teachers_go_through_the_same_gate() -> None:
    from sim.page_templates import _environment
    from sim.plain_text import finalized

    assert _environment(Path()).finalize is finalized


def test_nothing_printed_reaches_the_terminal_raw(capsys: pytest.CaptureFixture[str]) -> None:
    before = sys.stdout
    with plain_output():
        print(BAD)
        print(f"two\nlines {BAD}", file=sys.stderr)
        show_table(BAD, ["place", f"D{ESC}"], [[BAD, "1"], ["[bold]not ours[/bold]", "2"]])
    assert sys.stdout is before
    out, err = capsys.readouterr()
    assert not DANGEROUS & set(out + err)
    assert "two\nlines" in err
    assert "[bold]not ours[/bold]" in out


def test_a_drawing_of_our_own_may_still_move_the_cursor() -> None:
    below = io.StringIO()
    assert drawn_on(PlainStream(below)) is below  # type: ignore[arg-type]
    assert drawn_on(below) is below  # type: ignore[arg-type]
    PlainStream(below).write("a\x1b[2Kb\n")  # type: ignore[arg-type]
    assert below.getvalue() == "a [2Kb\n"


ASKED = (("print", f"{BAD}.json"), ("reach", "--negative", BAD), (BAD,), ("scan", BAD), ("paper", BAD))


@pytest.mark.parametrize("words", ASKED)
def test_a_hostile_argument_is_refused_in_plain_words(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    try:
        code = main([w.replace("\x00", "") for w in words])
    except SystemExit as stopped:
        code = int(str(stopped.code))
    out, err = capsys.readouterr()
    assert code == 2
    assert not DANGEROUS & set(out + err)
    assert err.count("\n") == 1


def test_a_title_of_a_sleeve_cannot_speak_to_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good = (Path(__file__).with_name("good") / "sleeve.toml").read_text("utf-8")
    title = next(line for line in good.splitlines() if line.startswith("title"))
    (tmp_path / "mine.toml").write_text(good.replace(title, f'title = "A bowl \u202e{"x" * 5}"'), "utf-8")
    main(["reach", "--negative", str(tmp_path / "mine.toml"), "--json"])
    main(["print", "--negative", str(tmp_path / "mine.toml"), "-o", str(tmp_path / "p.png")])
    out, err = capsys.readouterr()
    assert not DANGEROUS & set(out + err)


@pytest.mark.parametrize("key", ["a\nb", "a\rb", "x\u202ey", "tab\there"])
def test_a_key_with_a_line_break_is_quoted_in_its_refusal(key: str) -> None:
    said = str(Problem(key, "is not a known key", ""))
    assert said.startswith("'")
    assert not set("\n\r\t\u202e") & set(said)
    error = ValueRefused(f"file\n{ESC}.toml", [Problem(f"table.{key}", "must be a number", "'x'")])
    assert not DANGEROUS & set(str(error))
    assert "\n" not in str(error)
    assert error.file == f"file\n{ESC}.toml", "the name itself stays true"


def test_a_parsed_key_with_a_line_break_is_quoted_too() -> None:
    data = parse_toml(Path("x.toml"), '"a\\nb" = 1\n')
    with pytest.raises(OutsideError) as refused:
        validate(Path("x.toml"), data, Course)
    assert "'a\\nb': is not a known key" in str(refused.value)
    with pytest.raises(OutsideError) as refused:
        parse_json(Path("x.json"), '{"a\\u202eb": 1, "a\\u202eb": 2}')
    assert "\u202e" not in str(refused.value)


FORMULAS = (
    "=1+1", "+1", "-1+2", "@sum", "＝1+1", "＋1", "－1", "＠x", " =1", "\t=1", "a;=1", "a; ＝1", "a|-2", "x;\"=1", "a,+1",
)  # fmt: skip


@pytest.mark.parametrize("text", FORMULAS)
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_no_cell_is_a_formula_whatever_separator_the_spreadsheet_takes(text: str, separator: str) -> None:
    buffer = io.StringIO(newline="")
    csv.writer(buffer, lineterminator="\r\n").writerow(["id", cell_text(Column("h", "name"), text), "last"])
    for cell in next(csv.reader(io.StringIO(buffer.getvalue(), newline=""), delimiter=separator)):
        assert cell.strip(" \t\"")[:1] not in set("=+-@＝＋－＠"), (cell, buffer.getvalue())


@pytest.mark.parametrize("text", ["Åsa Öberg", "a-b", "1 = 2", "8 + 8", "f/8; lighter", "late by 2 h", "x@y.org"])
def test_ordinary_cells_stay_as_they_are(text: str) -> None:
    assert table_cell(text) == text


def test_the_window_draws_only_what_can_be_read() -> None:
    import os

    os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
    import pygame

    from sim.window.kit.look import Look

    pygame.font.init()
    look = Look()
    hostile, same = (look.text(words, "body", (0, 0, 0)) for words in (f"a\x00{ESC}{RIGHT_TO_LEFT}b", "a  [31m?b"))
    assert hostile.get_size() == same.get_size()
    assert look.shortened(f"a{RIGHT_TO_LEFT}b", 10_000) == "a?b"
    assert look.wrapped(f"one{LINE}two\nthree\x00", 10_000) == ["one two", "three"]
