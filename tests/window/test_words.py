"""Words: English is the source, a .po file is read as it stands, the long language shows what does not fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.window import words
from sim.window.words import PSEUDO, Words, read_po
from sim.window.words_template import template

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

msgid "not translated"
msgstr ""
'''


def test_a_po_file_is_read() -> None:
    found = read_po(PO)
    assert found["Enlarger"] == "Vergrößerer"
    assert found["no evening open"] == "kein Abend offen"
    assert "not translated" not in found


def test_words_come_in_the_language_and_fall_back_to_english(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "de").mkdir()
    (tmp_path / "de" / "tonewright.po").write_text(PO, encoding="utf-8")
    monkeypatch.setattr(words, "LOCALES", tmp_path)
    german = Words("de")
    assert german.text("Enlarger") == "Vergrößerer"
    assert german.text("Wall") == "Wall"
    assert german.count("{n} sheet left", "{n} sheets left", 1) == "1 Blatt da"
    assert german.count("{n} sheet left", "{n} sheets left", 3) == "3 Blätter da"
    assert words.languages() == ["en", "de"]


def test_an_unknown_language_is_english() -> None:
    assert Words("xx").text("Wall") == "Wall"


def test_the_long_language_keeps_what_stands_in_braces_and_is_forty_per_cent_longer() -> None:
    long = Words(PSEUDO)
    for message in ("Enlarger", "{n} sheets wait in the safe", "Press the key for: {what}."):
        assert len(long.catalogue.gettext(message)) >= 1.35 * len(message)
    assert "what" not in long.text("Press the key for: {what}.", what="X")
    assert "X" in long.text("Press the key for: {what}.", what="X")
    assert long.text("") == ""


def test_the_template_holds_the_words_of_every_place() -> None:
    found = read_po(template().replace('msgstr ""', 'msgstr "x"'))
    for message in (
        "Enlarger", "Open a free evening", "{n} min left", "Explain what is under the pointer or has the focus",
        "Begin anew", "The task", "Next control", "Foot switch: lamp on, or off before its time",
    ):  # fmt: skip
        assert message in found, message
    assert len(found) > 250
