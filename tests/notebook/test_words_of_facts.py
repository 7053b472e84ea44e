"""Every fact that a room before the notebook can state has its sentence, and the sentence holds the fact's own numbers."""

from __future__ import annotations

import ast
import inspect
from dataclasses import replace
from typing import get_args, get_type_hints

import pytest

from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.evening.handing_in import Doubt
from sim.notebook.advice_words import advice_words
from sim.notebook.control_words import filter_words
from sim.notebook.doubt_words import doubt_words
from sim.notebook.finding_words import finding_words
from sim.notebook.limit_words import binds_words
from sim.notebook.record_words import changes, describe, purpose
from sim.paper.development import Development
from sim.printing.record import Card, Circling, Exposure, Motion, Path, PrintingRecord, Sheet, Still
from sim.scoring import checking
from sim.scoring.advice import Advice, Evidence
from sim.scoring.burn_stops import burn_of
from sim.scoring.checking import Finding
from sim.scoring.start import Moved
from sim.scoring.trial import Change, Trial
from sim.scoring.what_binds import Binds
from sim.words import PSEUDO, Words

ENGLISH = Words()
TRIAL = Trial("t", Change(time_stops=1.0), "exposure", "less-light", 1.0)
FINDINGS = {
    "cannot-be-done": (Finding("cannot-be-done", values={"share": 0.42}), "earns 42% of the quality"),
    "done-at-the-start": (Finding("done-at-the-start", values={"share": 0.9}), "earns 90% of the quality"),
    "passes-by-accident": (Finding("passes-by-accident", values={"share": 0.2, "most": 0.15}), "in 20% .* allowed are 15%"),
    "gate-by-accident": (Finding("gate-by-accident", values={"share": 0.041, "most": 0.02}), "in 4.1% .* allowed are 2%"),
    "number-of-records": (Finding("number-of-records", "r.json", {"wanted": 2, "got": 1}), "r.json must hold 2 .* got 1"),
    "negative": (Finding("negative", "r.json [0]", {"wanted": "a", "got": "b"}), r"r.json \[0\]: .* be a, got b"),
    "moved": (
        Finding("moved", "r [0]", {"moved": Moved("f_number", "f_number", 11.0, 8.0)}), "aperture is locked: f/11 instead",
    ),
    "out-of-range": (
        Finding("out-of-range", "r [0]", {"name": "time_s", "low": 0.1, "high": 600.0, "got": 700.0}),
        "time_s must be between 0.1 and 600, got 700",
    ),
    "not-full-marks": (Finding("not-full-marks", values={"lost": ()}), "does not earn full marks"),
    "trial-refused": (Finding("trial-refused", "trials/t.toml", {"error": "no card"}), "trials/t.toml: no card"),
    "trial-not-met": (
        Finding("trial-not-met", "t", {"said": ("contrast", "softer", 1.0, ""), "trial": TRIAL}),
        "says contrast softer 1.00 first, expected exposure less-light 1",
    ),
    "unreadable": (Finding("unreadable", "brief.md", {"problem": "no title"}), "brief.md: no title"),
    "public-form": (Finding("public-form", values={"problem": "no tone"}), "without what is kept from them: no tone"),
    "gives-the-answer": (Finding("gives-the-answer", "hints.md", {"control": "time_s"}), "hints.md: gives .* for time_s"),
}


@pytest.mark.parametrize("what", sorted(FINDINGS))
def test_what_is_wrong_with_an_exercise_is_said(what: str) -> None:
    import re

    finding, words = FINDINGS[what]
    assert re.search(words, finding_words(finding, ENGLISH)), finding_words(finding, ENGLISH)


def test_every_finding_is_among_them() -> None:
    calls = [node for node in ast.walk(ast.parse(inspect.getsource(checking))) if isinstance(node, ast.Call)]
    made = {ast.literal_eval(call.args[0]) for call in calls if getattr(call.func, "id", "") == "Finding" and call.args}
    assert made == set(FINDINGS)


@pytest.mark.parametrize("what", get_args(get_type_hints(Doubt)["what"]))
def test_every_doubt_about_a_file_is_said(what: str) -> None:
    said = doubt_words(Doubt(what, 3, 4, 5, 6, "the key"), ENGLISH)  # type: ignore[arg-type]
    assert "{" not in said
    assert said


@pytest.mark.parametrize("what", get_args(get_type_hints(Binds)["what"]))
def test_every_limit_is_said(what: str) -> None:
    said = binds_words(Binds(what, "cup", 0.1, 1.5, 2, 3.0, ("2",), 0.8, 0.9), ENGLISH)  # type: ignore[arg-type]
    assert "{" not in said
    assert len(said) > 15


def test_advice_is_said_in_another_language_with_the_same_readings() -> None:
    one = Advice("exposure", "less-light", 0.34, "stops", evidence=(Evidence(("white-cup",), 0.31, 0.11),))
    assert advice_words(one, ENGLISH) == "The white cup reads 0.31, 0.11 too dark: about a third of a stop less light."
    long = advice_words(one, Words(PSEUDO))
    assert "third" not in long
    assert "0.31" in long
    assert "0.11" in long


def carded(motion: Motion, **how: float) -> tuple[Card, Exposure]:
    card = Card("oval", motion, 120.0, 40.0, 40.0, **how)  # type: ignore[arg-type]
    return card, Exposure(10.0, 8.0, cards=(card,))


def test_a_tool_kept_over_a_place_says_the_stops_it_holds_back_and_one_that_is_waved_about_does_not() -> None:
    kept = carded(Circling(60.0, 60.0, 7.0, 1.6), stop_s=10.0 * (1.0 - 2.0**-0.8))
    assert purpose(*kept) == "hold back 0.8 stops"
    waved = carded(Path(((0.0, 60.0, 60.0), (2.0, 160.0, 60.0), (4.0, 60.0, 160.0))), stop_s=4.0)
    assert purpose(*waved) == ""


def test_a_burn_says_the_stops_that_its_exposure_adds_and_a_note_of_ones_own_comes_first() -> None:
    sky = Card("edge", Still(100.0, 80.0), 120.0, angle_deg=90.0)
    base, burn = Exposure(10.0, 8.0), Exposure(10.0, 8.0, cards=(sky,))
    added = burn_of((base, burn), 1)
    assert purpose(sky, burn, added) == "burn in 1 stop above the horizon"
    assert purpose(replace(sky, note="the clouds"), burn, added) == "the clouds"


def test_a_card_beside_the_paper_shades_nothing_in_what_was_done_differently_either() -> None:
    hand = Path(((0.0, 100.0, 100.0), (4.0, 100.0, 100.0), (4.1, 400.0, 100.0), (10.0, 400.0, 100.0)))
    carded = Exposure(10.0, 8.0, cards=(Card("disc", hand, 120.0, 50.0, 50.0, stop_s=10.0),))
    enlarger, sheet = EnlargerSettings("diffusion-small", "80-mm", 600.0), Sheet("glossy-rc-vc", 203.0, 254.0)
    plain = PrintingRecord("sitting-2", sheet, enlarger, (Exposure(8.0, 8.0),), Development(90.0))
    both = plain.with_exposures(*plain.exposures, carded)
    seconds = next(line for line in describe(both) if "a disc" in line).rpartition(", ")[2]
    assert seconds.startswith("0.0 to 4.")
    for one, other in ((plain, both), (both, plain)):
        said = [line for line in changes(one, other) if "a disc" in line]
        assert [line.endswith(seconds) for line in said] == [True], said


def test_a_filter_is_said_in_the_language_that_is_asked_for() -> None:
    settings = (FilterSetting("00"), FilterSetting(), FilterSetting(None, 0.1, 0.6))
    assert [filter_words(one) for one in settings] == ["filter 00", "no filter", "Y 0.10 M 0.60"]
    assert filter_words(FilterSetting("2"), Words(PSEUDO)).startswith("fîlt")


def test_places_named_in_the_plural_have_a_plural_verb() -> None:
    said = {
        name: advice_words(Advice("exposure", "more-light", 1.0, "stops", evidence=(Evidence((name,), 0.05, -0.07),)), ENGLISH)
        for name in ("pale-chips", "bowl-ribs", "glass", "white-cup")
    }
    assert said["pale-chips"].startswith("The pale chips read 0.05")
    assert said["bowl-ribs"].startswith("The bowl ribs read 0.05")
    assert said["glass"].startswith("The glass reads 0.05")
    assert said["white-cup"].startswith("The white cup reads 0.05")


def test_a_line_about_one_of_several_prints_says_which() -> None:
    one = Advice("contrast", "softer", 1.0, "filter grades", prints=(2,))
    assert advice_words(one, ENGLISH) == "In print 2: the contrast is too hard; about 1 grade softer."
    assert advice_words(replace(one, prints=(1, 3, 4)), ENGLISH).startswith("In prints 1, 3 and 4: the contrast")
    assert advice_words(replace(one, film="stained-one"), ENGLISH).startswith("In print 2 (stained one): the contrast")


def test_one_sheet_was_used_and_two_were() -> None:
    one = Advice("economy", "fewer-sheets", 1.0, "sheets", measured=1.0, wanted=0.5)
    assert advice_words(one, ENGLISH).startswith("1 sheet was used")
    assert advice_words(replace(one, measured=2.0), ENGLISH).startswith("2 sheets were used")


def test_what_only_shows_later_says_so_and_gives_the_reading_there_will_be() -> None:
    then = Evidence(("cheek",), 0.17, 0.05, then=True)
    one = Advice("local", "more-hold-back", 0.33, "stops", "cheek", evidence=(then,), after_others=True, tool="tool")
    assert advice_words(one, ENGLISH) == (
        "Once the rest is put right, the cheek would read 0.17, 0.05 too dark: "
        "hold the cheek back by about a third of a stop more."
    )


@pytest.mark.parametrize(
    ("direction", "first", "then"),
    [
        ("more-burn", "Burn the sky in by about one stop in the soft exposure.", "in by about one stop more in"),
        ("more-hold-back", "Hold the sky back by about one stop in the soft exposure.", "back by about one stop more in"),
    ],
)
def test_more_of_a_card_is_asked_for_only_where_there_is_one(direction: str, first: str, then: str) -> None:
    one = Advice("local", direction, 1.0, "stops", "sky", exposure="soft")
    assert advice_words(one, ENGLISH) == first
    assert then in advice_words(replace(one, tool="hole"), ENGLISH)
