"""Words: English is the source, a .po file is read as it stands, the long language shows what does not fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim import words
from sim.words import PSEUDO, Words, filled, read_po
from sim.words_template import messages, template

PO = '''# a translator's file
msgid ""
msgstr "Language: de\\n"

msgid "Enlarger"
msgstr "Vergrößerer"

#: sim/window/frame.py
msgid ""
"no evening "
"open"
msgstr ""
"kein Abend "
"offen"

msgid "{n} sheet left"
msgid_plural "{n} sheets left"
msgstr[0] "{n} Blatt da"
msgstr[1] "{n} Blätter da"

msgid "{place} is light"
msgstr "{place.secret} ist hell"

msgid "{place} is dark"
msgstr "{other} ist dunkel"

msgid "not translated"
msgstr ""
'''
POLISH = '''msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\\n"

msgid "{n} strip"
msgid_plural "{n} strips"
msgstr[0] "{n} pasek"
msgstr[1] "{n} paski"
msgstr[2] "{n} pasków"
'''


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of languages: one complete, one with three forms of the plural, and room for a bad one."""
    for language, text in (("de", PO), ("pl", POLISH)):
        (tmp_path / language).mkdir()
        (tmp_path / language / "tonewright.po").write_text(text, encoding="utf-8")
    monkeypatch.setattr(words, "LOCALES", tmp_path)
    return tmp_path


def test_words_come_in_the_language_and_fall_back_to_english(shelf: Path) -> None:
    german = Words("de")
    assert german.text("Enlarger") == "Vergrößerer"
    assert german.text("no evening open") == "kein Abend offen"
    assert german.text("Wall") == "Wall"
    assert german.text("not translated") == "not translated"
    assert german.count("{n} sheet left", "{n} sheets left", 1) == "1 Blatt da"
    assert german.count("{n} sheet left", "{n} sheets left", 3) == "3 Blätter da"
    assert not german.trouble
    assert words.languages() == ["en", "de", "pl"]


def test_plurals_and_decimal_signs_are_the_languages_own(shelf: Path) -> None:
    polish = Words("pl")
    said = [polish.count("{n} strip", "{n} strips", n) for n in (1, 2, 5, 22)]
    assert said == ["1 pasek", "2 paski", "5 pasków", "22 paski"]
    assert polish.number(0.256, 2) == "0,26"
    assert Words().number(0.256, 2) == "0.26"
    assert Words(PSEUDO).number(1.5, 1) == "1.5"
    assert Words().count("{n} strip", "{n} strips", 0.25) == "0.25 strips"


def test_a_translation_reaches_nothing_but_the_values_of_its_own_message(shelf: Path) -> None:
    german = Words("de")
    assert german.text("{place} is light", place="the cup") == "{place.secret} ist hell"  # as it stands: no way in
    assert german.text("{place} is dark", place="the cup") == "the cup is dark"  # it asked for a name that is not there
    assert filled("{a.__class__} {a[0]} {a!r} {a}", {"a": "x"}) == "{a.__class__} {a[0]} {a!r} x"


BAD_PLURAL = 'msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=open(n)\\n"\n\nmsgid "a"\nmsgstr "b"\n'


@pytest.mark.parametrize("text", ["no words at all", "\0", BAD_PLURAL])
def test_a_file_that_cannot_be_read_leaves_english_and_says_why(shelf: Path, text: str) -> None:
    (shelf / "fr").mkdir()
    (shelf / "fr" / "tonewright.po").write_text(text, encoding="utf-8")
    french = Words("fr")
    assert french.text("Wall") == "Wall"
    assert french.count("{n} strip", "{n} strips", 2) == "2 strips"
    assert french.number(0.5, 1) == "0.5"
    assert "tonewright.po" in french.trouble
    assert "English is shown" in french.trouble


def test_an_unknown_language_is_english() -> None:
    assert Words("xx").text("Wall") == "Wall"
    assert Words("../../etc").text("Wall") == "Wall"


def test_the_long_language_keeps_what_stands_in_braces_and_is_forty_per_cent_longer() -> None:
    long = Words(PSEUDO)
    for message in ("Enlarger", "{n} sheets wait in the safe", "Press the key for: {what}."):
        assert len(long.catalogue.gettext(message)) >= 1.35 * len(message)
    assert "what" not in long.text("Press the key for: {what}.", what="X")
    assert "X" in long.text("Press the key for: {what}.", what="X")
    assert long.text("") == ""


def test_the_template_holds_the_words_of_every_place_and_can_be_read_back(tmp_path: Path) -> None:
    found = messages()
    for message in (
        "Enlarger", "New evening", "{n} min left", "Take a sheet, or put it back", "Counting lamp", "The lessons, and drills",
        "In a lesson: a hint", "Touch it, and it slides into the developer. (Enter)",
    ):  # fmt: skip
        assert message in found, message
    assert len(found) > 250
    file = tmp_path / "de" / "tonewright.po"
    file.parent.mkdir()
    file.write_text(template().replace('msgid "New evening"\nmsgstr ""', 'msgid "New evening"\nmsgstr "Neu"'), "utf-8")
    assert read_po(file).gettext("New evening") == "Neu"
