"""What a tone is worth on a real sheet: uncertain numbers carried through, and what a test strip takes out of them."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from night import drawn

from sim.bench.real_sheet import worth_of_a_tone
from sim.command.main import main
from sim.enlarger.equipment import read_equipment
from sim.enlarger.settings import Bench, EnlargerSettings
from sim.negative.develop import develop, find_negative, light_in_film
from sim.negative.film import find_film
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import PaperError, Stock, find_stock, stock_names
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.place_model import PlaceModel
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.shelf import FILM, PAPER, shipped_names
from sim.viewing import real_paper
from sim.viewing.densitometer import read_place
from sim.viewing.real_paper import CURVE, READING_ERROR, RealTone, each_moved, real_tones

SLEEVE, NEGATIVE, STOCK = find_sleeve("morning-shelf"), find_negative("morning-shelf"), find_stock("glossy-fb-vc")
RECORD = usual_setup(NEGATIVE, STOCK)
OF_THE_CURVE = {
    "emulsion.curve_a", "emulsion.curve_b", "emulsion.green_nodes", "emulsion.green_weights", "emulsion.blue_nodes",
    "emulsion.blue_weights",
}  # fmt: skip
ALONE = pytest.mark.usefixtures("only_the_paper_is_uncertain")
PLACES, CUP = NEGATIVE.places, NEGATIVE.place("white-cup")


@pytest.fixture
def only_the_paper_is_uncertain(monkeypatch: pytest.MonkeyPatch) -> None:
    film, found = find_film(SLEEVE.film), real_paper.set_up

    def sure_of_all(settings: EnlargerSettings, negative: Negative) -> Bench:
        bench = found(settings, negative)
        return replace(bench, head=replace(bench.head, uncertainty={}), lens=replace(bench.lens, uncertainty={}))

    monkeypatch.setattr(real_paper, "find_film", lambda name: replace(film, uncertainty={}))
    monkeypatch.setattr(real_paper, "set_up", sure_of_all)


def unsure(**uncertainty: float) -> Stock:
    return replace(STOCK, error=None, uncertainty={key.replace("__", "."): value for key, value in uncertainty.items()})


def tones_with(stock: Stock) -> dict[str, RealTone]:
    return {tone.place: tone for tone in real_tones(SLEEVE, NEGATIVE, RECORD, stock, PLACES, CUP)}


@ALONE
def test_a_paper_of_uncertain_speed_is_right_after_a_strip() -> None:
    tones = tones_with(unsure(emulsion__log_speed=0.08))
    for tone in tones.values():
        assert tone.after_a_strip == pytest.approx(READING_ERROR, abs=0.002)
        assert tone.mostly == ()
    assert tones["plaster"].untested > 0.1


@ALONE
def test_untested_tones_lie_off_by_what_the_moved_number_prints() -> None:
    tones = tones_with(unsure(emulsion__log_speed=0.08))
    first = RECORD.exposures[0]
    given = first.light_s if first.light_s is not None else first.time_s - 0.12
    moved = make_print(NEGATIVE, RECORD.with_exposures(replace(first, light_s=given)), STOCK)
    more = make_print(NEGATIVE, RECORD.with_exposures(replace(first, light_s=given * 10**0.08)), STOCK)
    for place in PLACES:
        off = abs(read_place(more, place) - read_place(moved, place))
        assert tones[place.name].untested == pytest.approx(off, abs=0.01), place.name


@ALONE
def test_a_curve_that_lies_off_stays_off_everywhere_but_at_the_strips_place() -> None:
    tones = tones_with(replace(unsure(), error=PaperError(0.03)))
    assert tones["white-cup"].after_a_strip == pytest.approx(READING_ERROR)
    near, far = tones["bowl-side"], [tones[name] for name in ("shelf-edge", "crock-mouth", "bottle-body")]
    assert near.after_a_strip == pytest.approx(READING_ERROR, abs=0.002)  # nearly the same tone
    assert tones["shelf-edge"].after_a_strip == pytest.approx(0.03606, abs=0.005)  # of 0.03 and 0.02, and a little of the lens
    assert all(tone.after_a_strip >= 0.036 and CURVE in tone.mostly for tone in far)


@ALONE
def test_independent_numbers_add_as_squares() -> None:
    one, other = tones_with(unsure(emulsion__log_speed=0.05)), tones_with(unsure(base__surface_reflection=0.0008))
    both = tones_with(unsure(emulsion__log_speed=0.05, base__surface_reflection=0.0008))
    for name, tone in both.items():
        assert tone.untested**2 == pytest.approx(one[name].untested ** 2 + other[name].untested ** 2, abs=1e-6)


@ALONE
def test_numbers_without_uncertainty_leave_only_the_reading() -> None:
    assert all(tone.untested == 0.0 and tone.after_a_strip == READING_ERROR for tone in tones_with(unsure()).values())


@ALONE
def test_a_strip_must_lie_on_a_place_that_is_read() -> None:
    with pytest.raises(Refused, match="the strip's place must be one of those that are read, got 'white-cup'"):
        real_tones(SLEEVE, NEGATIVE, RECORD, STOCK, PLACES[1:], CUP)


@ALONE
def test_no_strip_makes_a_tone_less_sure_where_the_lightest_place_is_bare_paper() -> None:
    """A strip cannot be read at bare paper; it is read at the lightest place that has a tone."""
    first = RECORD.exposures[0]
    thin = RECORD.with_exposures(replace(first, time_s=round(0.3 * first.time_s, 2)))
    stock = unsure(emulsion__log_speed=0.08, base__density=0.02)
    tones = {tone.place: tone for tone in real_tones(SLEEVE, NEGATIVE, thin, stock, PLACES, CUP)}
    assert tones["white-cup"].density < 0.09, "the print must lie so low that the cup is bare"
    assert all(tone.after_a_strip <= max(tone.untested, 2.0 * READING_ERROR) for tone in tones.values())


def test_a_reading_is_worth_what_the_named_tones_beside_it_are_and_bare_paper_nothing() -> None:
    cup, wall = RealTone("cup", 0.17, 0.18, 0.02, ("paper curve",)), RealTone("wall", 0.69, 0.30, 0.06, ())
    between = worth_of_a_tone((wall, cup), 0.43)
    assert between is not None
    assert (between.untested, between.after_a_strip) == (pytest.approx(0.24), pytest.approx(0.04))
    assert worth_of_a_tone((cup, wall), 0.17) == cup
    assert worth_of_a_tone((cup, wall), 0.05) is None, "bare paper lies on no curve"
    assert worth_of_a_tone((cup, wall), 1.9) is None
    assert worth_of_a_tone((), 0.43) is None


@pytest.mark.parametrize("name", stock_names())
def test_every_number_of_a_paper_says_how_sure_it_is(name: str) -> None:
    stock = find_stock(name)
    assert stock.error is not None  # it stands for the curve and its grains
    moved = {key for key, _ in each_moved(stock, stock.uncertainty)}
    assert {key for key, sigma in stock.uncertainty.items() if sigma} == moved
    numbers = set(tomllib.loads(PAPER.file(PAPER.shipped, name).read_text("utf-8"))["sources"])
    assert {key for key in numbers - set(stock.uncertainty) if not key.startswith("error.")} <= OF_THE_CURVE


def test_every_number_of_films_heads_and_lenses_says_how_sure_it_is() -> None:
    heads, lenses = read_equipment()
    for thing in (*heads.values(), *lenses.values(), *(find_film(name) for name in shipped_names(FILM))):
        assert set(thing.sources) == set(thing.uncertainty), thing.name
        moved = {key for key, _ in each_moved(thing, thing.uncertainty)}
        assert {key for key, sigma in thing.uncertainty.items() if sigma} == moved


SAID = [("print", True), ("print", False), ("reach", True), ("reach", False)]


@pytest.mark.parametrize(("verb", "as_data"), drawn(SAID, 1, "verbs that say what a tone is worth"))
def test_the_densitometer_and_the_solver_say_what_a_tone_is_worth(
    verb: str, as_data: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = [verb, "--negative", "morning-shelf", "--real-paper", *(["-o", str(tmp_path / "a.png")] if verb == "print" else [])]
    assert main([*words, *(["--json"] if as_data else [])]) == 0
    said = capsys.readouterr().out
    if not as_data:
        assert "after a strip" in said
        return
    told = json.loads(said)["real_paper"]
    assert {one["place"] for one in told} == {place.name for place in PLACES}
    assert all(0.0 < one["after_a_strip"] < 0.5 for one in told)


def test_uncertain_numbers_of_a_head_are_of_its_rated_voltage_and_printed_at_the_present_one() -> None:
    low = replace(RECORD, enlarger=replace(RECORD.enlarger, lamp_voltage_share=0.9))
    moved = dict(real_paper._moved(SLEEVE, NEGATIVE, low, STOCK, (CUP,)))
    heads = [model.rays[0].parts[0].head for name, model in moved.items() if name.startswith("head ")]
    assert len(heads) >= 3
    assert {head.burning.voltage_share for head in heads if head.burning} == {0.9}
    assert all(head.filament.colour_k > 3000.0 for head in heads if head.filament)


def test_a_tone_on_an_untested_box_of_paper_is_known_worse_than_after_a_strip() -> None:
    """Lamps of one kind differ by half a stop and boxes of paper by a tenth (common practice): 0.1 D and more at grade 2."""
    plaster = tones_with(STOCK)["plaster"]
    assert plaster.untested > 0.10
    assert plaster.untested > plaster.after_a_strip


def test_one_place_alone_reads_what_it_reads_among_the_others() -> None:
    model = PlaceModel(NEGATIVE, RECORD, STOCK, PLACES, LightCache())
    change = replace(model.no_change(), stops=np.full(1, 0.4), grades=1.0)
    for index in (0, len(PLACES) - 1):
        alone = model.at_place(index)
        assert alone.readings() == pytest.approx(model.readings()[[index]], abs=1e-12)
        assert alone.readings(change) == pytest.approx(model.readings(change)[[index]], abs=1e-12)
    assert alone.readings(change) != pytest.approx(alone.readings(), abs=0.01)


@pytest.mark.parametrize(("number", "spreads_alike"), [("iso_speed", True), ("half_contrast_lp_mm", False)])
def test_a_film_with_a_moved_number_is_developed_from_its_own_light(number: str, spreads_alike: bool) -> None:
    """Only where a film spreads light as the sleeve's own does may the light that lay in that one stand for its own."""
    film = find_film(SLEEVE.film)
    moved = dict(real_paper._films_moved(SLEEVE, replace(film, uncertainty={number: 0.1 * getattr(film, number)})))
    other = replace(film, **{number: 1.1 * getattr(film, number)})
    light = light_in_film(SLEEVE, film)
    assert (light is not None and np.array_equal(light, light_in_film(SLEEVE, other))) == spreads_alike
    np.testing.assert_array_equal(moved[number].silver_density, develop(SLEEVE, other).silver_density)


@pytest.mark.parametrize(("density", "known"), [(0.175, True), (0.165, False), (1.345, True), (1.355, False)])
def test_a_tone_just_outside_the_named_ones_is_worth_the_last_and_one_further_off_nothing(density: float, known: bool) -> None:
    """Places are named at 0.20 and 1.20; two steps of the eye are 0.03 in the lights and 0.15 in the darks (chosen)."""
    tones = (RealTone("cup", 0.20, 0.1, 0.02, ()), RealTone("wall", 1.20, 0.2, 0.04, ()))
    found = worth_of_a_tone(tones, density)
    assert (found is not None) is known
    if found is not None:
        assert found.untested == (0.1 if density < 1.0 else 0.2)
