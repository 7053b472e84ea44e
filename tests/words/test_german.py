"""German is complete: every message, every lesson; names in braces, numbers and steps are those of the English."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sim.scoring.hints import brief_of, hints_of, text_file
from sim.scoring.syllabus import read_syllabus
from sim.words import LOCALES, Words
from sim.words_template import messages

GERMAN = Words("de")
LESSONS = Path(__file__).parents[2] / "lessons"
NAME = re.compile(r"\{([a-z_][a-z0-9_]*)\}")
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


def _german(message: str) -> str:
    return GERMAN.catalogue.gettext(message)


def test_no_message_is_left_out_and_each_asks_for_the_same_values() -> None:
    assert not GERMAN.trouble
    pairs = dict(GERMAN.catalogue.pairs)  # type: ignore[attr-defined]
    empty, other, found = [], [], messages()
    for message in found:
        for one in (message,) if isinstance(message, str) else message:
            said = pairs.get(one, "")
            empty += [] if said else [one]
            other += [(one, said)] if said and set(NAME.findall(said)) != set(NAME.findall(one)) else []
    assert len(found) > 3000
    assert empty == []
    assert other == []


def test_what_stands_in_the_file_is_still_asked_for() -> None:
    known = {one for message in messages() for one in ((message,) if isinstance(message, str) else message)}
    stale = [english for english, _ in GERMAN.catalogue.pairs if english not in known]  # type: ignore[attr-defined]
    assert stale == []


@pytest.mark.parametrize("n", [0, 1, 2, 5])
def test_one_and_many_are_told_apart(n: int) -> None:
    said = GERMAN.count("{n} print", "{n} prints", n)
    assert said == ("1 Abzug" if n == 1 else f"{n} Abzüge")


def test_signs_of_options_stand_as_they_must() -> None:
    wrong = [e for e, said in GERMAN.catalogue.pairs if e.count("%(default)s") != said.count("%(default)s")]  # type: ignore[attr-defined]
    assert wrong == []


@pytest.mark.parametrize("slug", [lesson.slug for lesson in read_syllabus().lessons])
def test_every_lesson_stands_in_german_step_by_step(slug: str) -> None:
    folder = LESSONS / slug
    for name in ("brief", "hints"):
        assert text_file(folder, name, "de").name == f"{name}.de.md", "the file of this language is missing"
    english, german = brief_of(folder), brief_of(folder, "de")
    assert len(german.steps) == len(english.steps)
    assert german.pictures == () or [p.step for p in german.pictures] == [p.step for p in english.pictures]
    assert all(hints_of(folder, "de"))
    assert brief_of(folder, "fr") == english, "where a language is missing the English stands"
    assert brief_of(folder, "../de") == english


def _numbers(text: str) -> list[str]:
    return sorted(found.replace(",", ".") for found in NUMBER.findall(text))


@pytest.mark.parametrize("slug", [lesson.slug for lesson in read_syllabus().lessons])
def test_a_lesson_gives_the_same_numbers_in_german(slug: str) -> None:
    folder = LESSONS / slug
    for name in ("brief", "hints"):
        texts = [(folder / f"{name}{ending}.md").read_text("utf-8") for ending in ("", ".de")]
        said, told = (set(_numbers(text)) for text in texts)
        missing = {n for n in said - told if "." in n or len(n) > 1}  # small whole numbers may stand as words
        assert missing == set(), (name, missing)


def test_the_file_of_words_says_its_glossary() -> None:
    head = (LOCALES / "de" / "tonewright.po").read_text("utf-8")[:2500]
    for term in ("Probestreifen", "Blendenstufe", "Vergrößerer", "Kornlupe", "nachbelichten", "zur Wertung geben"):
        assert term in head
