"""The instructor's page: its tutorial is walked through as it stands, and every key and option is named in it."""

from __future__ import annotations

import argparse
import re
import shlex
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from at_once import here

from sim.command.main import build_parser, main
from sim.marking import course_run
from sim.marking.course import Course, CourseExercise, LateRule
from sim.marking.gradebook import LEARNER_FIELDS, NUMBER_FIELDS, TEXT_FIELDS, shipped_mappings
from sim.marking.review import CHOICES

PAGE = (Path(__file__).parents[2] / "lessons" / "courses.md").read_text("utf-8")
BLOCKS = re.findall(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", PAGE, re.M | re.S)
WRITTEN_AS = {"name": "course", "exercises": "exercise"}  # keys of the file that the program calls otherwise
VERBS = ("assign", "submit", "mark", "author", "check")


def commands(block: str) -> list[tuple[str, list[str]]]:
    """Return each command of a console block with the lines it is said to answer."""
    found: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        else:
            found[-1][1].append(line)
    return found


def as_pattern(lines: list[str]) -> str:
    """Return expected lines as a pattern: … is anything, and so is a line of it."""
    parts = [r"(?:.*\n)*?" if line.strip() == "…" else re.escape(line).replace("…", ".*?") + r"\n" for line in lines]
    return "".join(parts)


def test_the_whole_way_goes_as_the_page_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(course_run, "chosen_executor", here)
    monkeypatch.chdir(tmp_path)
    done = 0
    for kind, name, text in BLOCKS:
        if name:
            (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name).write_text(text, "utf-8")
            continue
        assert kind == "console"
        for command, expected in commands(text):
            verb, *words = shlex.split(command)[1:]
            if verb == "submit":
                (tmp_path / words[-1]).parent.mkdir(exist_ok=True)
            assert main([verb, *words]) in (0, 1)
            said = capsys.readouterr().out
            assert re.fullmatch(as_pattern(expected), said), f"{command}\n{said}"
            done += 1
    assert done == 5
    assert (tmp_path / "marks" / "class.html").is_file()
    assert sorted(file.name for file in (tmp_path / "given-back").iterdir()) == ["k01.html", "k02.html"]


def options(verb: str) -> set[str]:
    """Return the long options of a verb."""
    parser = build_parser(verb)
    (verbs,) = (a for a in parser._actions if isinstance(a, argparse._SubParsersAction))
    actions: Any = verbs.choices[verb]._actions
    return {name for action in actions for name in action.option_strings if name.startswith("--")} - {"--help"}


@pytest.mark.parametrize("verb", VERBS)
def test_every_option_is_named_once_in_its_table(verb: str) -> None:
    table = next(part for part in PAGE.split("\n\n") if part.startswith(f"| `{verb} "))
    named = re.findall(r"`(--[a-z-]+)`", table)
    assert sorted(named) == sorted(options(verb))


@pytest.mark.parametrize("form", [Course, CourseExercise, LateRule], ids=lambda form: form.__name__)
def test_every_key_of_the_course_file_has_a_line(form: Any) -> None:
    lines = {key for line in PAGE.splitlines() if line.startswith("| `") for key in re.findall(r"`(\w+)`", line.split("|")[1])}
    written = {WRITTEN_AS.get(one.name, one.name) for one in fields(form)} - {"file"}  # where it was read from
    assert written <= lines


def test_sources_states_decisions_and_examples_are_named() -> None:
    words = set(re.findall(r"`([^`]+)`", re.sub(r"^```.*?^```$", "", PAGE, flags=re.M | re.S)))
    assert {*LEARNER_FIELDS, *NUMBER_FIELDS, *TEXT_FIELDS, *CHOICES} <= words
    assert len(shipped_mappings()) == 3
