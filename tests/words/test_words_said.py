"""A sentence said in English is found again, whatever fills it; what no message fits stays as it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.words import Words
from sim.words_said import MOST_DEEP, Said

GERMAN = Words("de")
SAID = {
    "Your prediction is kept: even the first step is too dark.":
        "Deine Voraussage ist notiert: schon die erste Stufe ist zu dunkel.",
    "The white cup reads 0.45, 0.10 too dark: about half a stop less light in the soft exposure.":
        "»weiße Tasse« liegt bei 0,45, 0,10 zu dunkel: etwa eine halbe Blendenstufe weniger Licht in der weichen Belichtung.",
    "You predicted: the white cup as wanted. The readings agree.":
        "Vorausgesagt: »weiße Tasse« wie gewünscht. Die Messung stimmt zu.",
    "Measured: the white cup is darker than wanted, the range from the white cup to the bottle body is as wanted.":
        "Gemessen: »weiße Tasse« ist dunkler als gewünscht, der Umfang von »weiße Tasse« bis »dunkle Flasche« ist "
        "wie gewünscht.",
    "The steps show the white cup in step 3, the plaster in steps 4 and 5.":
        "Die Stufen zeigen »weiße Tasse« in Stufe 3, »Putz« in den Stufen 4 und 5.",
    "test strip, f/8, filter 2.5, 2 cards": "Probestreifen, f/8, Filter 2.5, 2 Karten",
    "test strip, f/8, filter 2.5, 1 card": "Probestreifen, f/8, Filter 2.5, 1 Karte",
    "In print 2 (pit under clouds): the white cup reads 0.45, 0.10 too dark: about half a stop less light.":
        "Auf Abzug 2 (Grube unter Wolken): »weiße Tasse« liegt bei 0,45, 0,10 zu dunkel: "
        "etwa eine halbe Blendenstufe weniger Licht.",
    "evening.jsonl: no sheet has been named as the one that counts; nominate one first":
        "evening.jsonl: kein Blatt ist zur Wertung gegeben; gib erst eines",
    "why must be one of bracketed, begin-longer, got 'x'":
        "das Warum muss eines von bracketed, begin-longer sein, ist aber 'x'",
    "Seen, of the white cup: in step 4 it is lost in the white of the paper; in step 5 it is light grey.":
        "Zu sehen an »weiße Tasse«: in Stufe 4: ist im Weiß des Papiers verloren; in Stufe 5: ist hellgrau.",
}  # fmt: skip


@pytest.mark.parametrize("english", SAID)
def test_a_sentence_is_found_again_with_what_fills_it(english: str) -> None:
    assert GERMAN.said(english) == SAID[english]
    assert GERMAN.unsaid(english) == 0


def test_in_english_everything_stays() -> None:
    for english in SAID:
        assert Words().said(english) == english
        assert Words("en-XA").said(english) == english


def test_what_is_not_known_stays_whole_and_is_never_half_in_each_language() -> None:
    for words in ("hello Peter, how are you", "my own place and another", "the quick brown fox reads a book"):
        assert GERMAN.said(words) == words
        assert GERMAN.unsaid(words) > 0


def test_a_place_of_ones_own_keeps_its_name_in_a_sentence() -> None:
    said = GERMAN.said("The garden gate reads 0.45, 0.10 too dark: about half a stop less light.")
    assert "garden gate" in said.lower()
    assert "0,45" in said


def test_names_of_files_keys_and_options_stay() -> None:
    assert GERMAN.said("--scale must be between 1.5 and 2 x").startswith("--scale")
    assert "/tmp/a.1.5.png" in GERMAN.said("Print written to /tmp/a.1.5.png")


def test_the_split_that_leaves_least_is_taken() -> None:
    known = [("the {place} {how}", "{place}: {how}"), ("old grey cup", "Tasse"), ("is much too dark here", "zu dunkel")]
    said = Said(known, ",")
    assert said.text("the old grey cup is much too dark here") == "Tasse: zu dunkel"
    assert said.left("the old grey cup is much too dark here") == 0
    assert said.text("the old grey pot is much too dark here") == "old grey pot: zu dunkel"


def test_a_text_that_cannot_be_found_takes_no_time_without_end() -> None:
    import time

    long = "; ".join(f"the thing number {n}, and what of it to the other one: nothing (or so)" for n in range(60))
    began = time.process_time()
    GERMAN.said(long)
    assert time.process_time() - began < 20.0


@given(st.text(max_size=200))
def test_no_text_makes_it_fall(words: str) -> None:
    assert isinstance(GERMAN.said(words), str)
    assert GERMAN.unsaid(words) >= 0


def test_a_piece_that_was_cut_off_deep_in_one_sentence_is_found_in_the_next() -> None:
    known = [("in {x}", "im {x}"), ("step {n}", "Stufe {n}")]
    after = Said(known, ",")
    assert after.left(f"{'in ' * MOST_DEEP}in step 3") > 0, "so deep nothing is looked for"
    assert after.text("in step 3") == Said(known, ",").text("in step 3") == "im Stufe 3"


def test_a_long_unknown_sentence_stays_where_much_is_kept_already(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.words_said.MOST_KEPT", 20)
    monkeypatch.setattr("sim.words_said.MOST_LOOKED_UP", 40)
    said = Said([("the {thing} of {other}", "{thing} von {other}"), ("cup", "Tasse")], ",")
    for n in range(12):
        said.text(f"one, two {n}")
    long = "; ".join(f"the thing number {n}, and what of it" for n in range(20)) + "."
    assert said.text(long) == long
    assert said.text("the cup of cup") == "Tasse von Tasse"
