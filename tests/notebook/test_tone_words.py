"""Tones in words: in the order of their densities, without a number, and the same for a print and the steps of a strip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.negative.develop import find_negative
from sim.notebook.tone_words import CLOSED, PaperEnds, told_print, told_strip, tone_words
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strips import lay_strip, stop_times_s

ENDS = PaperEnds(0.05, 2.1)


def test_every_tone_has_its_words_from_white_to_black_and_none_comes_twice() -> None:
    told = [tone_words(float(density), ENDS) for density in np.arange(0.05, 2.11, 0.01)]
    order = list(dict.fromkeys(told))
    assert len(order) == 11
    assert [words for k, words in enumerate(told) if k == 0 or words != told[k - 1]] == order
    assert order[0] == "is lost in the white of the paper"
    assert tone_words(0.12, ENDS) == "just holds, a breath darker than the paper"
    assert order[-1] == CLOSED


def test_a_print_is_told_place_by_place_without_numbers_and_changes_with_its_light() -> None:
    negative, stock = find_negative("morning-shelf"), find_stock("glossy-rc-vc")
    record = usual_setup(negative, stock)
    told = []
    for time_s in (3.0, 30.0):
        exposed = record.with_exposures(replace(record.exposures[0], time_s=time_s))
        told.append(told_print(negative, make_print(negative, exposed, stock, 1.0)))
    assert len(told[0]) == len(negative.places)
    assert not any(character.isdigit() for words in told for text in words for character in text)
    assert "The white cup is lost in the white of the paper." in told[0]
    assert "The white cup is lost in the white of the paper." not in told[1]


def test_a_strip_is_told_step_by_step_with_only_what_each_step_shows() -> None:
    negative, stock = find_negative("morning-shelf"), find_stock("glossy-rc-vc")
    start, cup = usual_setup(negative, stock), negative.place("white-cup")
    piece = strip_on(negative, start, cup.x, cup.y)
    same = lay_strip(piece.record, stop_times_s(2.0, 1.0, 5), 8.0, start.exposures[0].filter, "same-place", home_mm=piece.at_mm)
    told = told_strip(negative, same.record, make_print(negative, same.record, stock, 1.0))
    assert len(told) == 5
    assert all("the white cup" in words for words in told)
    assert "lost in the white" in told[0]
    bursts = lay_strip(piece.record, stop_times_s(2.0, 1.0, 5), 8.0, start.exposures[0].filter, "bursts")
    told = told_strip(negative, bursts.record, make_print(negative, bursts.record, stock, 1.0))
    assert sum("the white cup" in words for words in told) == 1


def test_a_place_of_many_things_is_told_by_its_tone() -> None:
    """No line says that the far jugs IS grey."""
    negative, stock = find_negative("racks-thin"), find_stock("glossy-rc-vc")
    told = told_print(negative, make_print(negative, usual_setup(negative, stock), stock, 1.0))
    assert any(text.startswith("The tone of the far jugs ") for text in told)
    assert not any(text.startswith("The far jugs ") for text in told)
