"""Where hands come near baths, heat or glass, one line says what to mind: in every brief, and at the window's benches."""

from __future__ import annotations

import re

import pytest

from sim.reading import data_folder
from sim.scoring.exercise_file import exercise_names
from sim.scoring.hints import brief_of
from sim.words_template import messages

LESSONS = exercise_names()
FOLDERS = data_folder("lessons")
# every lesson ends in prints, and so comes near lamp and baths; loose glass comes on top where a print is made by contact
HAND_SAVED = (
    r"\b(tongs|gloves|dry (your )?hands|hands dry|fresh air|ventilated|safety sheet|hot\b|cool\b|clamp(ed)?|lift it with both)"
)
GLASS = r"\b(heavy glass|under the glass)\b"
GLASS_EDGES = r"\bglass edges cut\b"


def in_words(name: str) -> str:
    return " ".join(brief_of(FOLDERS / name).steps).lower()


def cautions(text: str) -> list[str]:
    """Return the sentences of a brief that say what to mind."""
    return [sentence for sentence in re.split(r"(?<=[.:!?])\s+", text) if re.search(HAND_SAVED, sentence)]


@pytest.mark.parametrize("name", LESSONS)
def test_a_brief_carries_a_line_of_caution(name: str) -> None:
    assert cautions(in_words(name)), "prints are made here, by lamp and bath: one line on heat, hands or air"


def test_a_brief_with_loose_glass_says_that_its_edges_cut() -> None:
    with_glass = [name for name in LESSONS if re.search(GLASS, in_words(name))]
    assert with_glass
    assert [name for name in with_glass if not re.search(GLASS_EDGES, in_words(name))] == []


def test_work_at_the_bench_alone_is_no_caution() -> None:
    """The scan can fail: steps that only say what to do are not taken for a warning."""
    plain = "lay a strip on the jug, print the sheet, take it through the trays. raise the head, change the filter, nominate."
    assert cautions(plain) == []


def test_the_door_speaks_of_heat_mains_and_local_rules() -> None:
    file = "sim/window/standing/sayings.py"
    said = [str(text).lower() for text, places in messages().items() if file in places]
    assert any(all(word in text for word in ("hot", "mains", "local rules")) for text in said)
