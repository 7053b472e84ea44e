"""A wrong constant anywhere in the product must show against the oracle: twice its tolerance at least."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger import easel_light, fall_off, filament, film_light, filters, settings
from sim.enlarger.coming_light import coming_light
from sim.enlarger.equipment import read_equipment
from sim.enlarger.filament import switching
from sim.negative import callier, camera, develop, film
from sim.paper import development, emulsion, safelight
from sim.paper import stock as stock_files
from sim.paper.developer import print_developer
from sim.paper.stock import Stock, find_stock
from sim.printing import cards, exposure

from .test_film_oracle import FILM_AGREES_WITHIN, worst_on_film
from .test_oracle import AGREES_WITHIN, CASES, differences, perfect_lens

SHOWS = 2 * AGREES_WITHIN

__all__ = ["perfect_lens"]  # the fixture, used by name below
pytestmark = pytest.mark.usefixtures("perfect_lens")


@pytest.fixture(autouse=True)
def stocks_read_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stock that is kept would keep the right constant with it."""
    monkeypatch.setattr(stock_files, "_shipped", stock_files._shipped.__wrapped__)


@pytest.fixture(autouse=True)
def lamps_worked_out_anew() -> Iterator[None]:
    """A lamp that is kept would keep the right constant with it, and a wrong one for the next test."""
    _forget_lamps()
    yield
    _forget_lamps()


def _forget_lamps() -> None:
    for kept in KEPT_LAMPS:
        kept.cache_clear()


def wrong_lens(**changes: float) -> Callable[[pytest.MonkeyPatch], None]:
    """Return a patch of every lens that multiplies numbers of it."""

    def patch(patcher: pytest.MonkeyPatch) -> None:
        find = settings.find_lens
        patcher.setattr(
            settings,
            "find_lens",
            lambda n: replace(find(n), **{k: getattr(find(n), k) * f for k, f in changes.items()}),
        )

    return patch


def wrong_head(**changes: object) -> Callable[[pytest.MonkeyPatch], None]:
    """Return a patch of every head that sets numbers of it."""

    def patch(patcher: pytest.MonkeyPatch) -> None:
        find = settings.find_head
        patcher.setattr(settings, "find_head", lambda n: replace(find(n), **changes))

    return patch


def wrong_film(**changes: float) -> Callable[[pytest.MonkeyPatch], None]:
    """Return a patch of every film that multiplies numbers of it."""

    def patch(patcher: pytest.MonkeyPatch) -> None:
        find = develop.find_film
        patcher.setattr(
            develop, "find_film", lambda n: replace(find(n), **{k: getattr(find(n), k) * f for k, f in changes.items()})
        )

    return patch


def wrong(module: object, name: str, value: object) -> Callable[[pytest.MonkeyPatch], None]:
    """Return a patch of a module's constant or function."""
    return lambda patcher: patcher.setattr(module, name, value)


def _rising(nm: np.ndarray, edge: float, width: float) -> np.ndarray:
    return 1 / (1 + np.exp((edge - nm) / width))


def blue_edge_moved(nm: np.ndarray) -> np.ndarray:
    """Blue sensitivity that ends 5 nm too far."""
    return _rising(nm, 395, 8) * (1 - _rising(nm, 491, 7.5))


def one_filter_denser() -> dict[str, filters.FilterDensities]:
    """The graded set with 0.03 too much magenta in filter 3."""
    right = filters.graded_filter_set()
    return {**right, "3": replace(right["3"], magenta=right["3"].magenta + 0.03)}


green, blue_shape, shape = emulsion.green_sensitivity, emulsion.blue_sensitivity, easel_light.stain_shape
right_set, cosine, dimming = filters.graded_filter_set(), fall_off.cosine_fourth, exposure._dimming
KEPT_LAMPS = (read_equipment, coming_light, switching, exposure._extra_s)
denser = one_filter_denser()

MUTATIONS: dict[str, tuple[str, Callable[[pytest.MonkeyPatch], None]]] = {
    "blue sensitivity ends 5 nm too far": ("one filter", wrong(emulsion, "blue_sensitivity", blue_edge_moved)),
    "green sensitivity 5 nm too long": (
        "cold cathode", wrong(emulsion, "green_sensitivity", lambda nm: green(np.asarray(nm) - 5.0))),
    "grain grows a twentieth too much": ("condenser", wrong(callier, "GRAIN_LIMIT", 1.67)),
    "grain grows too early": ("condenser", wrong(callier, "GRAIN_GAMMA", 1.48)),
    "grain of every negative as normal": (
        "condenser", wrong(film_light, "grain_exponent", lambda gamma: callier.grain_exponent(0.64))),
    "silver scatters a degree wider": ("condenser", wrong(callier, "SCATTER_TANGENT", 0.30)),
    "condenser's cone a degree wider": ("condenser", wrong_head(light_half_angle_deg=13.0)),
    "lens's cone left out": ("condenser, lens wide open", wrong(film_light, "lens_tangent", lambda n, m: 0.0)),
    "Callier quotient not faded out in thin places": (
        "condenser, printed for its thin places", wrong(callier, "FADE_DENSITY", 0.02)),
    "a filter 0.03 too dense": ("stained", wrong(filters, "graded_filter_set", lambda: denser)),
    "flare a quarter too strong": ("one filter", wrong_lens(flare_share=1.25)),
    "lamp 100 K too cool": ("no filter", wrong_head(temperature_k=3100.0)),
    "lamp of half the volts, so of thicker wire": ("a short exposure", wrong_head(rated_volts=6.0)),
    "resistance grows with temperature itself": ("low mains", wrong(filament, "RESISTANCE_POWER", 1.0)),
    "filament twice as heavy": ("a short exposure", wrong(filament, "DENSITY_KG_M3", 38600.0)),
    "emissivity the same at all temperatures": ("low mains", wrong(filament, "EMISSIVITY", (0.334, 0.0, 0.0))),
    "nothing lost to the gas": ("low mains", wrong(filament, "GAS_SHARE", 0.0)),
    "blue comes with the rest": ("a short exposure", wrong(exposure, "_extra_s", lambda b, f, e: exposure.NOTHING_MORE)),
    "cards counted in seconds, not in light": (
        "two seconds with a card", wrong(exposure, "_as_light_comes", lambda cards, head, time_s: cards)),
    "stain reaches 5 nm too far": (
        "stained", wrong(easel_light, "stain_shape", lambda nm: shape(np.maximum(np.asarray(nm) - 5.0, 380.0)))),
    "light falls off as the cube of the cosine": (
        "one filter", wrong(fall_off, "cosine_fourth", lambda r, v: cosine(r, v) ** 0.75)),
    "barrel further from the iris": ("one filter", wrong_lens(rim_distance_mm=1.5)),
    "engraved marks taken at their word": ("one filter", wrong(settings, "exact_f_number", lambda n: n)),
    "a card's edge straight instead of round": (
        "split pair, card in the hard exposure",
        wrong(cards, "edge_profile", lambda x, p: np.clip(0.5 + x / p, 0.0, 1.0))),
    "amber safelight two nanometres too short": (
        "amber safelight", wrong(safelight, "_LAMPS", {"amber": (608.0, 8.0, 1e-6), "red": (635.0, 8.0, 1e-6)})),
    "red safelight leaks fifty times as much": (
        "red safelight too near", wrong(safelight, "_LAMPS", {"amber": (610.0, 8.0, 1e-6), "red": (635.0, 8.0, 5e-5)})),
    "dimmed light counted as shorter light under reciprocity failure": (
        "pre-flash with reciprocity failure", wrong(exposure, "_dimming", lambda e, p: dimming(e, 1.0))),
}  # fmt: skip


@pytest.mark.parametrize("name", MUTATIONS)
def test_a_wrong_constant_in_the_light_is_seen(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    case, patch = MUTATIONS[name]
    assert differences(case).max() <= AGREES_WITHIN
    patch(monkeypatch)
    _forget_lamps()
    assert differences(case).max() > SHOWS


FILM_MUTATIONS: dict[str, Callable[[pytest.MonkeyPatch], None]] = {
    "camera flare a tenth too strong": wrong(develop, "veiled", lambda light, share: camera.veiled(light, 1.1 * share)),
    "toe a tenth longer": wrong_film(toe_width=1.1),
    "speed follows development a quarter more": wrong_film(speed_gain=1.25),
    "fog follows development twice as much": wrong_film(fog_gain=2.0),
    "shoulder a tenth lower": wrong_film(net_dmax=0.9),
    "toe as long at every development": wrong(film, "TOE_NARROWS", 0.0),
}


@pytest.mark.parametrize("name", FILM_MUTATIONS)
def test_a_wrong_constant_of_camera_or_film_is_seen(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(film, "_straight_line", film._straight_line.__wrapped__)  # what is kept keeps the right constant
    assert worst_on_film() <= FILM_AGREES_WITHIN
    FILM_MUTATIONS[name](monkeypatch)
    assert worst_on_film() > 2 * FILM_AGREES_WITHIN


def _weights_moved(stock: Stock) -> Stock:
    weights = list(stock.emulsion.green_weights)
    weights[4], weights[14] = weights[4] + 0.008, weights[14] - 0.008
    return replace(stock, emulsion=replace(stock.emulsion, green_weights=tuple(weights)))


def _emulsion(**changes: float) -> Callable[[Stock], Stock]:
    return lambda s: replace(
        s, emulsion=replace(s.emulsion, **{k: getattr(s.emulsion, k) + v for k, v in changes.items()})
    )


def _development(**changes: float) -> Callable[[Stock], Stock]:
    return lambda s: replace(
        s, development=replace(s.development, **{k: getattr(s.development, k) * v for k, v in changes.items()})
    )


PAPER_MUTATIONS: dict[str, tuple[str, Callable[[Stock], Stock]]] = {
    "grains moved from one class to another": ("softest filter", _weights_moved),
    "speed 0.005 log too high": ("one filter", _emulsion(log_speed=0.005)),
    "curve a little steeper": ("one filter", _emulsion(curve_a=0.5)),
    "surface sends back a tenth more": (
        "glossy fibre base", lambda s: replace(s, surface_reflection=s.surface_reflection * 1.1)),
    "base 0.005 too dense": ("pulled", lambda s: replace(s, base_density=s.base_density + 0.005)),
    "gelatin swells four times instead of five": ("wet", lambda s: replace(s, wet_gelatin_share=0.25)),
    "hardened gelatin swells three times instead of two": ("wet, resin-coated", lambda s: replace(s, wet_gelatin_share=0.33)),
    "a resin-coated base that drinks": ("wet, resin-coated", lambda s: replace(s, support="fb")),
    "wet surface as dull as the dry one": ("wet", lambda s: replace(s, wet_surface_reflection=s.surface_reflection)),
    "blacks build too fast": ("pulled", _development(rate=1.05)),
    "light tones lag too much": ("pulled", _development(early_log_shift=1.1)),
    "fog comes too early": ("warm, tired, long", _development(fog_per_time=1.5)),
    "reciprocity failure too weak": (
        "reciprocity failure", lambda s: replace(s, schwarzschild_p=s.schwarzschild_p + 0.01)),
    "reference time of 9 s": ("reciprocity failure", lambda s: replace(s, reference_time_s=s.reference_time_s * 0.9)),
}  # fmt: skip


@pytest.mark.parametrize("name", PAPER_MUTATIONS)
def test_a_wrong_number_of_the_paper_is_seen(name: str) -> None:
    case, change = PAPER_MUTATIONS[name]
    stock = find_stock(CASES[case][1].sheet.paper)
    assert differences(case, stock).max() <= AGREES_WITHIN
    assert differences(case, change(stock)).max() > SHOWS


BATH_MUTATIONS = {
    "fast agent's activation energy": ("cold", {"start_activation_kj_mol": 1.3}),
    "building agent's activation energy": ("cold", {"build_activation_kj_mol": 1.3}),
    "bromide in fresh developer": ("strong, old, small bath", {"bromide_mmol_l": 1 / 3}),
    "speed that bromide costs": ("strong, old, small bath", {"speed_by_bromide": 3.0}),
    "slowing by bromide": ("strong, old, small bath", {"rate_by_bromide": 3.0}),
    "silver of a sheet": ("strong, old, small bath", {"silver_mmol_sheet": 2.0}),
    "developer that a sheet carries away": ("strong, old, small bath", {"carried_ml_sheet": 3.0}),
    "builder in fresh developer": ("strong, old, small bath", {"builder_mmol_l": 0.5}),
    "half life in the tray": ("strong, old, small bath", {"half_life_h": 2.0}),
}


@pytest.mark.parametrize("name", BATH_MUTATIONS)
def test_a_wrong_number_of_the_bath_is_seen(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    case, factors = BATH_MUTATIONS[name]
    right = print_developer()
    wrong_bath = right.model_copy(update={key: getattr(right, key) * factor for key, factor in factors.items()})
    assert differences(case).max() <= AGREES_WITHIN
    monkeypatch.setattr(development, "print_developer", lambda: wrong_bath)
    assert differences(case).max() > SHOWS
