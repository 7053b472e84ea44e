"""Every way make_print can take, from a scene set up before the camera on, for the proof that checks test what it uses."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from sim.negative.negative import Negative
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Card, Exposure, Still

from .scenes import taken
from .sheets import Way, patches, shade


def every_way_of_printing() -> Iterator[Callable[[], float]]:
    """Yield small printing jobs that between them pass through every part of make_print."""
    plain, film = Way(), patches(0.3, 0.9)
    grainy = replace(film, rms_granularity=9.0)
    turning = Card("oval", Still(60.0, 60.0), 100.0, 20.0, 30.0, wire_mm=1.0, stop_s=4.0)
    ways: list[tuple[Way, Negative, tuple[Exposure, ...], float | None]] = [
        (plain, film, (plain.exposure(5.0),), None),
        (plain, film, (replace(plain.exposure(5.0), light_s=None),), None),
        (plain, film, (plain.exposure(5.0, turning, shade(40.0, stop_s=2.0)),), None),
        (plain, patches(0.3, 0.9, stain=0.3), (plain.exposure(5.0),), None),
        (plain, grainy, (plain.exposure(5.0),), 8.0),
        (replace(plain, head="condenser-small", carrier="glassless"), film, (plain.exposure(5.0),), None),
        (replace(plain, contact=True, magnification=14.0), film, (plain.exposure(5.0),), None),
        (replace(plain, safelight=Safelight("amber", 1.0, 60.0)), film, (plain.exposure(5.0),), None),
        (replace(plain, reciprocity=True), film, (plain.exposure(5.0), plain.exposure(2.0, shade(40.0))), None),
    ]
    for way, negative, exposures, fine in ways:
        yield lambda w=way, n=negative, e=exposures, f=fine: float(w.sheet(n, *e, px_per_mm=f).density.mean())
    yield _tilted
    yield lambda: float(plain.sheet(taken(np.zeros((40, 60))), plain.exposure(5.0)).density.mean())


def _tilted() -> float:
    way, film = Way(), patches(0.3, 0.9)
    record = way.record(film, way.exposure(5.0))
    record = replace(record, enlarger=replace(record.enlarger, easel_tilt_deg=5.0, focus_offset_mm=0.5))
    return float(make_print(film, record, find_stock(way.stock)).density.mean())
