"""A text in another language says what the English one says: the same steps, numbers, pictures, commands and blocks."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from pathlib import Path

import pytest

from sim.reading import data_folder
from sim.scoring.exercise_file import exercise_names
from sim.scoring.hints import brief_of, hints_of

LESSONS = data_folder("lessons")
LANGUAGE = "de"
OTHERS = sorted(LESSONS.rglob(f"*.{LANGUAGE}.md"))
BLOCK = re.compile(r"^```.*?^```$", re.M | re.S)


def english_of(file: Path) -> Path:
    """Return the English text beside one in another language."""
    return file.with_name(file.name.replace(f".{LANGUAGE}.", "."))


def numbers(text: str) -> Counter[str]:
    """Return the numbers in a text as English writes them: no mark between thousands, a point before decimals."""
    together = re.sub(r"(?<=\d)[.,](?=\d{3}\b)", "", text)
    return Counter(number.replace(",", ".") for number in re.findall(r"\d+(?:[.,]\d+)?", together))


def kept(text: str) -> dict[str, object]:
    """Return what a translator leaves as it is."""
    prose = BLOCK.sub("", text)
    return {
        "blocks": BLOCK.findall(text),
        "code": Counter(re.findall(r"`[^`\n]+`", prose)),
        "names of numbers": Counter(re.findall(r"\{\w+\}", prose)),
        "links and pictures": re.findall(r"\]\([^)\s]+\)", prose),
        "numbers": numbers(re.sub(r"\]\([^)\s]+\)", "]", prose)),
        "headings": [line.split(" ")[0] for line in prose.splitlines() if line.startswith("#")],
        "columns": [line.count("|") for line in prose.splitlines() if line.startswith("|")],
    }


@pytest.mark.parametrize("name", exercise_names())
def test_every_lesson_has_brief_and_hints_in_the_other_language(name: str) -> None:
    for text in ("brief", "hints"):
        assert (LESSONS / name / f"{text}.{LANGUAGE}.md").is_file()


@pytest.mark.parametrize("file", OTHERS, ids=lambda file: str(file.relative_to(LESSONS)))
def test_a_translator_changed_words_only(file: Path) -> None:
    source = english_of(file)
    assert source.is_file(), "it translates nothing"
    english, other = source.read_text("utf-8"), file.read_text("utf-8")
    assert kept(other) == kept(english)
    assert other != english


@pytest.mark.parametrize("name", exercise_names())
def test_the_program_reads_it_like_the_english_one(name: str, tmp_path: Path) -> None:
    """Within the limits of words a step, with every number filled in, pictures at the same steps."""
    folder = tmp_path / name
    shutil.copytree(LESSONS / name, folder, ignore=shutil.ignore_patterns("trials"))
    brief, hints = brief_of(folder), hints_of(folder)
    for text in ("brief", "hints"):
        shutil.copy(folder / f"{text}.{LANGUAGE}.md", folder / f"{text}.md")
    other, other_hints = brief_of(folder), hints_of(folder)
    assert len(other.steps) == len(brief.steps)
    assert [(picture.file, picture.step) for picture in other.pictures] == [(p.file, p.step) for p in brief.pictures]
    assert all(mine != its for mine, its in zip((*other.steps, *other_hints), (*brief.steps, *hints), strict=True))
    assert "{" not in " ".join((*other.steps, *other_hints))
