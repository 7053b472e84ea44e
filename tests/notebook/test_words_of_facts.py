"""Every fact that a room before the notebook can state has its sentence, and the sentence holds the fact's own numbers."""

from __future__ import annotations

import ast
import inspect
from typing import get_args, get_type_hints

import pytest

from sim.evening.handing_in import Doubt
from sim.notebook.advice_words import advice_words
from sim.notebook.doubt_words import doubt_words
from sim.notebook.finding_words import finding_words
from sim.notebook.limit_words import binds_words
from sim.scoring import checking
from sim.scoring.advice import Advice, Evidence
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
