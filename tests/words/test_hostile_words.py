"""Files of words from outside: a bad one leaves English and says why, and no message reaches past the values it was given."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import sim.words
from sim.refusals import OutsideError
from sim.words import Words, filled, read_po

HEAD = (
    'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
    '"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
)
GOOD = HEAD + 'msgid "Hang up {n} sheets"\nmsgstr "{n} Blatt aufhängen"\n'


class Secret:
    """Something with more to it than its words."""

    hidden = "a secret"

    def __str__(self) -> str:
        return "shown"


REACHING = (
    "{a.hidden}", "{a.__class__}", "{0.__class__}", "{a[0]}", "{a!r}", "{a:>1000000000}", "{a.__init__.__globals__}", "{}",
    "{0}", "{a", "a}", "{{a}}", "{__class__}", "{a.hidden!s:{b}}", "%(a)s", "$a",
)  # fmt: skip


@pytest.mark.parametrize("message", REACHING)
def test_a_placeholder_is_a_name_and_nothing_more(message: str) -> None:
    out = filled(message, {"a": Secret(), "b": 3})
    assert "secret" not in out
    assert "class" not in out.replace(message, "")
    assert len(out) <= len(message) + len("shown")


@given(st.text(), st.dictionaries(st.sampled_from(["a", "b", "name"]), st.one_of(st.text(), st.integers(), st.none())))
def test_filling_in_never_throws(message: str, values: dict[str, object]) -> None:
    assert isinstance(filled(message, values), str)


def test_what_is_filled_in_is_not_filled_in_again() -> None:
    assert filled("{a} {b}", {"a": "{b}", "b": "2"}) == "{b} 2"


def at(folder: Path, text: str | bytes, monkeypatch: pytest.MonkeyPatch, language: str = "de") -> Words:
    file = folder / language / "tonewright.po"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    monkeypatch.setattr(sim.words, "LOCALES", folder)
    return Words(language)


def test_a_good_file_is_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = at(tmp_path, GOOD, monkeypatch)
    assert words.trouble == ""
    assert words.text("Hang up {n} sheets", n=3) == "3 Blatt aufhängen"


BAD: dict[str, str | bytes] = {
    "not-utf-8": GOOD.encode("utf-8").replace("ä".encode(), b"\xff"),
    "a-nul": GOOD.replace("Blatt", "Bl\0att"),
    "cut-in-a-text": GOOD[:-5],
    "no-quotes": HEAD + "msgid Hang\nmsgstr up\n",
    "a-plural-that-reckons-for-ever": GOOD.replace("(n != 1)", "9**9**9**9"),
    "a-plural-that-calls": GOOD.replace("(n != 1)", "__import__('os').system('true')"),
    "a-plural-of-nothing": GOOD.replace("(n != 1)", ""),
    "far-too-large": GOOD + "# x\n" * 600_000,
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_file_leaves_english_and_says_so(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = at(tmp_path, BAD[case], monkeypatch)
    assert words.text("Hang up {n} sheets", n=3) == "Hang up 3 sheets"
    assert words.count("{n} sheet", "{n} sheets", 3) == "3 sheets"
    assert words.trouble.startswith("English is shown, because the words of de cannot be read")
    assert "tonewright.po" in words.trouble
    assert "\n" not in words.trouble


ASKING = ("{0.__class__} Blatt", "{secret} Blatt", "{n.__class__} Blatt", "{n!r:>99999999} Blatt", "Blatt {")


@pytest.mark.parametrize("said", ASKING)
def test_a_translation_cannot_ask_for_more_than_the_message_has(
    said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = at(tmp_path, GOOD.replace("{n} Blatt aufhängen", said), monkeypatch).text("Hang up {n} sheets", n=3)
    assert "class '" not in out
    assert len(out) < 60


def test_a_thousand_bent_files_are_read_or_refused(tmp_path: Path) -> None:
    dice = np.random.Generator(np.random.PCG64(3))
    (tmp_path / "de").mkdir()
    file = tmp_path / "de" / "tonewright.po"
    pieces = [
        '"', "\\", "\n", "msgid ", "msgstr ", "msgid_plural ", "msgstr[9999999]", "msgctxt ", "#~ ", "#, fuzzy\n", "\0", "ä",
        "Plural-Forms: nplurals=99999999; plural=n;\\n", "charset=utf-7", "charset=nothing", "{0.__class__}",
    ]  # fmt: skip
    refusals = []
    for _ in range(1000):
        text = GOOD
        for _ in range(int(dice.integers(1, 6))):
            here, there = sorted(int(x) for x in dice.integers(0, len(text) + 1, 2))
            text = text[:here] + str(dice.choice(pieces)) + text[here if dice.random() < 0.7 else there :]
        file.write_text(text, encoding="utf-8")
        try:
            read_po(file).gettext("Hang up {n} sheets")
        except OutsideError as refused:
            refusals.append(str(refused))
    assert 100 < len(refusals) < 1000
    assert all(words.startswith(str(file)) for words in refusals)
