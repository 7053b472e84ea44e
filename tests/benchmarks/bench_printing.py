"""Speed of printing: milliseconds a megapixel, on the clock and of processor, and ratios within one run against one
float32 ``np.exp`` and one copy of the same size.

Run: ``env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE python -m pytest -n 0 tests/benchmarks/bench_printing.py``. Nothing here
passes or fails by time; errors against the exact response are asserted, so that no coarse table wins by cheating.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative, Place
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.exposure import LightCache, expose
from sim.printing.make_print import make_print
from sim.printing.place_print import PlacePrint
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import usual_setup
from sim.printing.tone_tables import plane_densities, tones_of

PIXELS = (2000, 2500)  # 5 megapixels, 4:5
STOCK = find_stock("glossy-fb-vc")


Spent = tuple[float, float]


def best_of(work: Callable[[], object], rounds: int = 5) -> Spent:
    """Return the shortest of a few runs on the clock, and the least processor time of one (all threads), in seconds."""
    times, busy = [], []
    for _ in range(rounds):
        start, before = time.perf_counter(), time.process_time()
        work()
        times.append(time.perf_counter() - start)
        busy.append(time.process_time() - before)
    return min(times), min(busy)


@pytest.fixture(scope="module")
def negative() -> Negative:
    rows, cols = PIXELS
    generator = np.random.Generator(np.random.PCG64(5))
    ramp = np.linspace(0.1, 1.5, cols, dtype=np.float32)[None, :] * np.linspace(0.6, 1.0, rows, dtype=np.float32)[:, None]
    silver = ramp + generator.normal(0.0, 0.02, PIXELS).astype(np.float32)
    places = (Place("middle", 0.5, 0.5),)
    return Negative("bench", np.maximum(silver, 0).astype(np.float32), 0.1, (118.75, 95.0), places=places)


@pytest.fixture(scope="module")
def yardstick() -> dict[str, float]:
    values = np.linspace(-3, 0, PIXELS[0] * PIXELS[1], dtype=np.float32)
    out = np.empty_like(values)
    return {"exp": best_of(lambda: np.exp(values, out=out))[1], "copy": best_of(lambda: np.copyto(out, values))[1]}


@pytest.fixture(scope="module")
def table() -> Iterator[list[str]]:
    rows: list[str] = []
    yield rows
    head = f"{'work, 5 megapixels':52s} ms clock  ms busy  busy/MP   x exp  x copy"
    print("\n" + "\n".join([head, *rows]))


def report(table: list[str], name: str, spent: Spent, yardstick: dict[str, float], px: int = PIXELS[0] * PIXELS[1]) -> None:
    clock, busy = spent
    per_mp = 1e9 * busy / px
    ratios = f"{busy / yardstick['exp']:7.2f} {busy / yardstick['copy']:7.2f}"
    table.append(f"{name:52s} {clock * 1e3:8.1f} {busy * 1e3:8.1f} {per_mp:8.1f} {ratios}")


def records(negative: Negative) -> dict[str, PrintingRecord]:
    base = usual_setup(negative, STOCK, time_s=12.0)
    split = base.with_exposures(Exposure(7.0, 8.0, FilterSetting("00")), Exposure(11.0, 8.0, FilterSetting("5")))
    one_card = held_back(base, 0, 120.0, 90.0, 90.0, 0.7)
    two_cards = held_back(held_back(split, 1, 80.0, 80.0, 80.0, 0.7), 0, 160.0, 100.0, 90.0, 0.9)
    return {"even": base, "one card": one_card, "split, two cards": two_cards}


def test_exact_densities(negative: Negative, yardstick: dict[str, float], table: list[str]) -> None:
    record = records(negative)["even"]
    lights = LightCache()
    exposure = expose(negative, record, STOCK, None, lights)
    response = Response(STOCK, record.development)
    light = exposure.light
    assert light is not None

    def tables() -> np.ndarray:
        return light.table_of(*tones_of(light, float(exposure.blue), float(exposure.green), exposure, response))

    report(table, "a slider moved: new table", best_of(tables), yardstick)
    report(table, "exact densities of the sheet", best_of(lambda: tables().take(light.codes, mode="clip")), yardstick)
    report(table, "make_print, light kept", best_of(lambda: make_print(negative, record, STOCK, lights=lights)), yardstick)
    blue, green = exposure.planes()
    report(table, "exact densities from planes", best_of(lambda: plane_densities(blue, green, response), 2), yardstick)
    exact = response.density(blue[::9, ::9].astype(np.float64), green[::9, ::9].astype(np.float64))
    assert np.abs(make_print(negative, record, STOCK, lights=lights).density[::9, ::9] - exact).max() < 0.0003


def test_cold_light(negative: Negative, yardstick: dict[str, float], table: list[str]) -> None:
    record = records(negative)["even"]
    seconds = best_of(lambda: make_print(negative, record, STOCK), 2)
    report(table, "make_print, new aperture or height (cold)", seconds, yardstick)
    tilted = replace(record, enlarger=replace(record.enlarger, easel_tilt_deg=4.0))
    seconds = best_of(lambda: make_print(negative, tilted, STOCK), 1)
    report(table, "make_print, tilted easel (cold, uneven blur)", seconds, yardstick)


def test_developing_a_negative(yardstick: dict[str, float], table: list[str]) -> None:
    from sim.negative.develop import develop
    from sim.negative.scene_file import read_scene_codes
    from sim.negative.sleeve import find_sleeve

    sleeve = find_sleeve("morning-shelf")

    def anew() -> Negative:
        read_scene_codes.cache_clear()
        return develop(sleeve)

    px = anew().silver_density.size
    report(table, f"a negative developed, scene at hand ({px / 1e6:.2f} MP)", best_of(lambda: develop(sleeve)), yardstick, px)
    report(table, f"a negative developed, scene read ({px / 1e6:.2f} MP)", best_of(anew), yardstick, px)


def test_burning_in_costs_one_more_card(negative: Negative, yardstick: dict[str, float], table: list[str]) -> None:
    lights = LightCache()
    burnt = burnt_in(records(negative)["even"], 0, 120.0, 60.0, 80.0, 1.0)
    seconds = best_of(lambda: make_print(negative, burnt, STOCK, lights=lights), 3)
    report(table, "make_print with a burn, light kept", seconds, yardstick)
    for name, record in records(negative).items():
        seconds = best_of(partial(make_print, negative, record, STOCK, lights=lights), 2)
        report(table, f"make_print, {name}, light kept", seconds, yardstick)


def test_a_print_as_large_as_a_window_shows_it(negative: Negative, yardstick: dict[str, float], table: list[str]) -> None:
    record = records(negative)["even"]
    seconds = best_of(lambda: make_print(negative, record, STOCK, 3.0), 3)
    report(table, "make_print at 3 px/mm, cold", seconds, yardstick)
    seconds = best_of(lambda: PlacePrint(negative, record, STOCK, LightCache()).readings(*negative.places), 3)
    report(table, "one place printed, cold", seconds, yardstick)


@pytest.mark.parametrize("drill", ["read-the-strip", "beside-the-finished-print"])
def test_an_item_of_a_drill(drill: str, yardstick: dict[str, float], table: list[str]) -> None:
    """Ten of them in five minutes leave half a minute each; making one must be nothing beside that."""
    from sim.teaching.drills import draw_item

    generator = np.random.Generator(np.random.PCG64(1))
    draw_item(drill, generator)
    report(table, f"an item of {drill}", best_of(lambda: draw_item(drill, generator), 2), yardstick)
