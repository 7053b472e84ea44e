"""A strip of burns past a card, its hole or its edge: steps read as prints burnt in so long, and show how burns run out."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from sim.bench.light_of_print import light_of
from sim.command.main import main
from sim.command.printing_lines import burnt_past
from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.notebook.map_steps import steps_of
from sim.notebook.record_words import centre_of, describe
from sim.paper.stock import find_stock
from sim.printing.burn_past_card import burn_card_of, lit_past, past_card, slot_of
from sim.printing.card_work import burnt_at_edge, burnt_in
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print, place_on_sheet
from sim.printing.record import Card, Circling, Exposure, PrintingRecord, Still
from sim.printing.record_file import read_record, write_record
from sim.printing.setup import usual_setup
from sim.printing.strip_agreement import disagreement
from sim.printing.strips import Strip, lay_strip
from sim.refusals import Refused
from sim.viewing.densitometer import read_place, spot_density
from sim.viewing.strip_reading import read_strip_at, shown_in_every_step

NEGATIVE, STOCK, LIGHTS = find_negative("morning-shelf"), find_stock("glossy-rc-vc"), LightCache(8)
BASE = usual_setup(NEGATIVE, STOCK, border_mm=0.0)
CUP, FIRST, BURNS = NEGATIVE.place("white-cup"), Exposure(6.0, 8.0, FilterSetting("2")), (0.0, 2.0, 4.0, 8.0)
AT = place_on_sheet(NEGATIVE, BASE, CUP)


def printed(record: PrintingRecord) -> Print:
    return make_print(NEGATIVE, record, STOCK, 2.0, lights=LIGHTS)


def hole(size_mm: float = 40.0) -> Card:
    """Return a hole as a burn is usually held: turning, a hand's breadth above the paper."""
    return burnt_in(BASE, 0, *AT, size_mm, 1.0).exposures[-1].cards[0]


def laid(way: str = "burn") -> Strip:
    each = (FIRST,) if way == "burn" else ()
    times = BURNS if way == "burn" else BURNS[1:]
    return lay_strip(BASE, times, 8.0, FilterSetting("2"), way, 90.0, each, AT)  # type: ignore[arg-type]


@cache
def strip() -> Strip:
    return past_card(laid(), hole())


@cache
def sheet() -> Print:
    return printed(strip().record)


def test_every_step_reads_as_the_print_that_is_burnt_in_so_long_through_the_same_hole() -> None:
    reading = read_strip_at("white-cup", NEGATIVE, strip().record, sheet())
    assert reading.times_s == BURNS
    for burn_s, density in zip(BURNS, reading.densities, strict=True):
        burn = (Exposure(burn_s, 8.0, FilterSetting("2"), (hole(),)),) if burn_s else ()
        straight = printed(BASE.with_exposures(FIRST, *burn))
        assert density == pytest.approx(read_place(straight, CUP), abs=0.02)


def test_round_the_hole_a_step_has_no_more_than_its_base_exposure() -> None:
    """Fifty mm to the side of the cup the slot is open and the hole is not."""
    step = strip().steps[-1]
    plain = printed(laid().record)
    base = printed(BASE.with_exposures(FIRST))
    beside = (step.x_mm + 50.0, step.y_mm) if AT[0] < 100 else (step.x_mm - 50.0, step.y_mm)
    there = (AT[0] + beside[0] - step.x_mm, AT[1])
    assert spot_density(sheet(), *beside) == pytest.approx(spot_density(base, *there), abs=0.02)
    assert spot_density(plain, *beside) > spot_density(sheet(), *beside) + 0.1


def test_only_places_in_the_full_light_of_the_hole_are_read() -> None:
    assert shown_in_every_step(NEGATIVE, strip().record) == ("white-cup",)
    wide = past_card(laid(), hole(160.0))
    assert set(shown_in_every_step(NEGATIVE, wide.record)) == set(shown_in_every_step(NEGATIVE, laid().record)) != {"white-cup"}


def test_its_record_is_kept_and_read_again(tmp_path: Path) -> None:
    assert disagreement(strip().record) is None
    write_record(tmp_path / "s.json", strip().record)
    assert read_record(tmp_path / "s.json") == strip().record
    assert burn_card_of(strip().record) == hole()
    assert burn_card_of(laid().record) is None
    turned = replace(hole(), angle_deg=30.0, length_mm=60.0)
    assert disagreement(past_card(laid(), turned).record) is None


def test_it_is_captioned_by_its_base_and_its_longest_burn_and_told_by_its_hole() -> None:
    assert light_of(strip().record).seconds == (("2", 14.0),)
    said = " / ".join(describe(strip().record))
    assert "4 steps of burn: 0.0, 2.0, 4.0, 8.0 s" in said
    assert "burnt in through a round hole of 40 mm, 120 mm above the paper, kept moving" in said
    assert "over it: 6.0 s at f/8" in said
    words = [one.words for one in steps_of(strip().record, set_up(BASE.enlarger, NEGATIVE), {})]
    assert sum("above it a card with a hole (oval, 40 × 40 mm), 120 mm above the paper, circling by" in w for w in words) == 3


def test_a_hole_that_moves_off_its_place_or_over_another_strip_is_refused() -> None:
    """A circle of 7.2 mm leaves the middle in the light of a hole of 18 mm, not of one of 15."""
    turning = Circling(*AT, 7.2, 1.6)
    past_card(laid(), replace(hole(18.0), motion=turning))
    with pytest.raises(Refused, match="larger hole, or held still"):
        past_card(laid(), replace(hole(15.0), motion=turning))
    past_card(laid(), replace(hole(15.0), motion=Still(*AT)))
    with pytest.raises(Refused, match="flashes at one place, got same-place"):
        past_card(laid("same-place"), hole())
    with pytest.raises(Refused, match="must have a hole, or an edge"):
        past_card(laid(), replace(hole(), lets_through="outside"))


def test_a_point_is_in_the_light_of_a_hole_as_far_as_its_edge() -> None:
    still = replace(hole(), motion=Still(50.0, 50.0))
    assert lit_past(still, (66.0, 50.0), 3.9)
    assert not lit_past(still, (66.0, 50.0), 4.1)


def test_the_verb_lays_it_and_refuses_what_is_no_hole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["strip", "--negative", "morning-shelf", "--at", "white-cup", "--way", "burn", "--over", "2:6", "--steps", "4",
             "-o", str(tmp_path / "s.png"), "--whole-sheet"]  # fmt: skip
    assert main([*words, "--through", "40x50:height=80", "--save-record", str(tmp_path / "s.json")]) == 0
    said = capsys.readouterr().out
    assert "through an oval hole of 40 × 50 mm, 80 mm above the paper, kept moving" in said
    assert burn_card_of(read_record(tmp_path / "s.json")) is not None
    for text, rule in (("height=80", "size of the hole"), ("40:filter=5", "to the strip's"), ("x", "mm must be a number")):
        with pytest.raises(Refused, match=rule):
            burnt_past(laid(), BASE, text, "", AT, "--")
    assert main(["strip", "--negative", "morning-shelf", "--through", "40"]) == 2
    assert "--way burn or local-flash only" in capsys.readouterr().err


def edge(beyond_mm: float) -> Card:
    """Return an edge below the cup, swept by 8 mm, that burns what lies above."""
    line = (AT[0], AT[1] + beyond_mm)
    return burnt_at_edge(BASE, 0, line, 90.0, 1.0, 8.0).exposures[-1].cards[0]


def test_past_an_edge_every_step_reads_as_the_print_burnt_in_over_it_and_none_that_lies_in_the_dark() -> None:
    laid_past = past_card(laid(), edge(20.0)).record
    assert disagreement(laid_past) is None
    made = printed(laid_past)
    reading = read_strip_at("white-cup", NEGATIVE, laid_past, made)
    straight = printed(BASE.with_exposures(FIRST, Exposure(8.0, 8.0, FilterSetting("2"), (edge(20.0),))))
    assert reading.densities[-1] == pytest.approx(read_place(straight, CUP), abs=0.02)
    assert "burnt in past the edge of a card, 120 mm above the paper, kept moving" in " / ".join(describe(laid_past))


def test_an_edge_leaves_its_place_in_the_light_as_far_as_it_is_swept() -> None:
    """What lies within one mm of the middle must be lit: an edge swept by 8 mm is held more than 9 mm away."""
    past_card(laid(), edge(9.2))
    with pytest.raises(Refused, match="edge must leave the place beside it"):
        past_card(laid(), edge(8.8))


def test_the_verb_burns_past_an_edge_and_says_what_it_wants(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["strip", "--negative", "morning-shelf", "--at", "white-cup", "--way", "burn", "--over", "2:6", "--steps", "4",
             "-o", str(tmp_path / "s.png"), "--whole-sheet"]  # fmt: skip
    assert main([*words, "--past", "top:15:height=80:still", "--save-record", str(tmp_path / "s.json")]) == 0
    assert "past the edge of a card, 80 mm above the paper, held still" in capsys.readouterr().out
    record = read_record(tmp_path / "s.json")
    card = burn_card_of(record)
    assert card is not None
    assert (card.shape, card.angle_deg) == ("edge", 90.0)
    assert centre_of(card)[1] - slot_of(record)[1] == pytest.approx(15.0)
    assert main(["strip", "--negative", "morning-shelf", "--past", "top:15"]) == 2
    assert "--past must stand with --way burn or local-flash only" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("through", "past", "rule"),
    [("", "above:15", "--past must be the light side"), ("", "top", "--past must be the light side"),
     ("", "top:15:30", "height and still"), ("", "top:15:angle=3", "height and still"),
     ("", "top:x", "--past, mm must be a number"), ("", "left:0", "--past, mm must be"),
     ("", "top:15:height=5000", "--past, height"),
     ("", "top:4", "--past: the card's edge must leave"), ("2", "", "--through: the hole must leave"),
     ("40", "top:15", "both --through and --past")],
)  # fmt: skip
def test_what_a_burns_card_cannot_be_is_refused_in_the_words_typed(through: str, past: str, rule: str) -> None:
    with pytest.raises(Refused) as refused:
        burnt_past(laid(), BASE, through, past, AT, "--")
    assert rule in str(refused.value)


def test_a_flash_is_held_back_by_five_stops_unless_it_is_said(tmp_path: Path) -> None:
    words = ["strip", "--negative", "step-wedge", "--way", "flash", "--steps", "3", "-o", str(tmp_path / "s.png")]
    for more, stops in (([], 5.0), (["--dimmed", "0"], 0.0)):
        assert main([*words, *more, "--save-record", str(tmp_path / "s.json")]) == 0
        strip = read_record(tmp_path / "s.json").strip
        assert strip is not None
        assert strip.dimmed_stops == stops
