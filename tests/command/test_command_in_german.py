"""The command in German: all help, refusals and a whole lesson; what is typed and what is data stays as it is."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.command.in_language import Spoken, language_in, tell_whole, told_on
from sim.command.lesson_lines import LINES, read_line, with_point
from sim.command.main import VERBS, build_parser, main
from sim.refusals import Refused
from sim.words import Words

ENGLISH = re.compile(r"\b(the|and|with|of|to|from|not|for|is|are|it|this|that|its|than|by|what|your|you)\b", re.I)
GERMAN = Words("de")
EXAMPLE = """go-on
task
predict 4
play
see 5
why bracketed
hint
predict right
play
see right
why as-planned
nominate 2
list
tell
ruler
film
nonsense
"""


def _helps(parser: argparse.ArgumentParser) -> Iterator[str]:
    """Yield all that help says of a parser and of those of its verbs."""
    yield from filter(None, (parser.description, parser.epilog))
    for group in parser._action_groups:
        yield from filter(None, (group.title, group.description))
    for action in parser._actions:
        yield from (action.help,) if action.help and action.help != argparse.SUPPRESS else ()
        if isinstance(action, argparse._SubParsersAction):
            yield from (choice.help or "" for choice in action._choices_actions)
            for sub in set(action.choices.values()):
                yield from _helps(sub)


@pytest.mark.parametrize("verb", VERBS)
def test_no_text_of_help_is_left_out(verb: str) -> None:
    left = [text for text in set(_helps(build_parser(verb))) if GERMAN.unsaid(text)]
    assert left == []


def test_help_comes_in_german(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--language", "de", "times", "--help"])
    out = capsys.readouterr().out
    assert out.startswith("Aufruf: tonewright times")
    assert "Optionen:" in out
    assert not ENGLISH.search(re.sub(r"%\S+|--\S+|[A-Z]+\b", "", out)), out


@pytest.mark.parametrize("arguments", [["--language", "xx"], ["--language"], ["--language=../../de"]])
def test_an_unknown_language_is_refused_in_words(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*arguments, "sleeves"]) == 2
    assert "--language must be one of en, de, en-XA" in capsys.readouterr().err


def test_the_language_may_stand_anywhere_and_english_is_usual() -> None:
    assert language_in(["sleeves"]) == ("en", ["sleeves"])
    assert language_in(["sleeves", "--language", "de", "--json"]) == ("de", ["sleeves", "--json"])
    assert language_in(["--language=de", "sleeves"]) == ("de", ["sleeves"])
    with pytest.raises(Refused):
        language_in(["--language", "klingon"])


def test_a_refusal_is_said_in_german(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--language", "de", "print", "--nonsense"])
    assert "tonewright print: unbekannte Angaben: --nonsense (siehe tonewright print --help)" in capsys.readouterr().err


def test_data_for_machines_has_the_same_bytes(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in (["sleeves", "--json"], ["schema"], ["times", "10", "--json"]):
        assert main(arguments) == 0
        english = capsys.readouterr().out
        assert main(["--language", "de", *arguments]) == 0
        assert capsys.readouterr().out == english
        json.loads(english)


def test_a_table_keeps_the_names_that_are_typed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--language", "de", "sleeves"]) == 0
    out = capsys.readouterr().out
    assert "morning" in out
    assert out.startswith("Negative\n")


def test_a_lesson_in_german_leaves_the_same_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script = tmp_path / "lines.txt"
    script.write_text(EXAMPLE, "utf-8")
    logs, said = {}, {}
    for language in ("en", "de"):
        keep = tmp_path / language
        main(["--language", language, "lesson", "time-from-a-strip", "--keep", str(keep), "--do", str(script),
              "--pictures", str(tmp_path / f"{language}-prints")])  # fmt: skip
        said[language] = capsys.readouterr().out
        (log,) = keep.rglob("*.jsonl")
        logs[language] = log.read_bytes()
    assert logs["en"] == logs["de"]
    assert logs["en"].count(b"\n") > 8
    english = [line for line in said["de"].splitlines() if ENGLISH.search(line) and str(tmp_path) not in line]
    assert english == []
    assert "  Jetzt: go-on, predict, hint" in said["de"], "what is typed stays"
    assert "    predict step-4         Stufe 4" in said["de"]
    assert "(white-cup)" in said["de"], "the name by which a place is typed stands beside it"


def test_a_stream_waits_for_whole_lines_and_hands_on_a_prompt() -> None:
    import io

    below = io.StringIO()
    stream = Spoken(below, GERMAN)
    stream.write("Print writ")
    assert below.getvalue() == ""
    stream.write("ten to a.png\nanswer> ")
    assert below.getvalue() == "Abzug geschrieben: a.png\n"
    stream.flush()
    assert below.getvalue().endswith("answer> ")
    assert told_on(below)("too dark") == "too dark"
    assert told_on(stream)("too dark") == "zu dunkel"


def test_a_time_is_taken_with_a_comma_and_a_slip_is_never_taken_for_the_end() -> None:
    assert with_point("6,2s") == "6.2s"
    assert [with_point(word) for word in ("60,85,3", "1,000", "step-4")] == ["60,85,3", "1,000", "step-4"]
    said = read_line("print time=9,3")
    assert said is not None
    assert said.number("time", 0.0) == 9.3
    for slip in ("Hinweis", "finsh", "hand-inn", "Ende"):
        with pytest.raises(Refused) as refused:
            read_line(slip)
        assert not re.search(r"mean '(finish|hand-in)'", str(refused.value))
        assert f"got '{slip}'" in str(refused.value), "the word stands as it was typed"


def test_help_of_a_lesson_is_german_from_its_first_line_to_its_last() -> None:
    import io

    below = io.StringIO()
    tell_whole(Spoken(below, GERMAN), LINES)
    assert below.getvalue() == f"{GERMAN.text(LINES)}\n"
    assert below.getvalue() != f"{LINES}\n"
    plain = io.StringIO()
    tell_whole(plain, LINES)
    assert plain.getvalue() == f"{LINES}\n"


def test_a_strip_is_read_in_german(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["--language", "de", "strip", "--negative", "racks-thin", "--steps", "4", "--way", "covered"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Streifen von racks-thin, Stufe um Stufe abgedeckt, Filter 2, f/8")
    assert re.search(r"nahe Schüssel \(near-bowl\) \d,\d\d|Krugbauch \(jug-belly\) \d,\d\d", out), out


def test_in_english_a_place_is_named_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["print", "--negative", "morning-shelf", "time=4"]) == 0
    out = capsys.readouterr().out
    assert "white-cup" in out
    assert "(white-cup)" not in out
