"""What can be seen of a number that is a little wrong: prints whose tones it may change, looked at one by one.

``python -m wrong.looks NAME`` prints the densities of a look as JSON, to be compared with those of a copy of the product.
Papers keep their seconds, as if nobody made a strip; where a look says so, time is found by one first, as any printer would.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from published.scenes import film_curve, taken
from published.sheets import FloatArray, Way, band, light_for_net, patches, printed_curve, with_filter

import sim
from sim.negative.negative import Negative

PAPERS = ("glossy-rc-vc", "glossy-fb-vc", "matt-fb-vc", "graded-fb-2")
FILTERS = ("00", "1", "1.5", "2", "3", "4.5", "5")
LOG_LIGHT = np.arange(-2.5, 3.0, 0.02)


def papers() -> FloatArray:
    """Return whole curves of all papers behind soft, middle and hard filters, at the same seconds of light."""
    curves = []
    for paper in PAPERS:
        for name in FILTERS if paper != "graded-fb-2" else (None,):
            curve = printed_curve(with_filter(Way(stock=paper), name))
            curves.append(np.interp(LOG_LIGHT, curve.log_light, curve.net_density))
    return np.concatenate(curves)


def matt_by_strip() -> FloatArray:
    """Return curves of the matt paper behind the middle filters, counted from net 0.60 as a strip would bring it there."""
    curves = []
    for name in ("1", "2", "3", "4"):
        curve = printed_curve(with_filter(Way(stock="matt-fb-vc"), name))
        curves.append(np.interp(LOG_LIGHT, curve.log_light - curve.at(0.60), curve.net_density))
    return np.concatenate(curves)


def films() -> FloatArray:
    """Return a scene's tones on RC paper, film developed short, normally and long, straight and burnt in by two stops.

    Every film is printed at the time that a strip on its grey card asks for.
    """
    tones, way, seen = np.arange(-2.2, 2.01, 0.2), Way(), []
    for development in (0.7, 1.0, 1.46):
        logs, densities = film_curve("medium", development)
        film = patches(*(float(np.interp(tone, logs, densities)) for tone in tones))
        card_s = light_for_net(way, patches(float(np.interp(0.0, logs, densities))))
        for light_s in (card_s, 4.0 * card_s):
            sheet = way.sheet(film, way.exposure(light_s))
            seen += [band(sheet, k, len(tones)) for k in range(len(tones))]
    return np.array(seen)


def grain() -> FloatArray:
    """Return mean and unevenness of a grey's grain, pixel by pixel and over spots of four and sixteen, on a sharp print."""
    card = taken(np.full((520, 520), -0.2), "medium", 1.0, 0.01, flare_share=0.0)
    sheet = Way(magnification=8.0).sheet(card, Way().exposure(8.0))
    middle = sheet.density.astype(float)[100:-100, 100:-100]
    spots = [middle[: len(middle) // n * n, : middle.shape[1] // n * n] for n in (1, 4, 16)]
    means = [s.reshape(len(s) // n, n, -1, n).mean(axis=(1, 3)) for s, n in zip(spots, (1, 4, 16), strict=True)]
    return np.array([middle.mean(), *(mean.std() for mean in means)])


def fine_lines() -> FloatArray:
    """Return a sheet of the finest lines its pixels hold, upright and slanting, sharp and wide open."""
    rows, cols = np.mgrid[:96, :144]
    pattern = np.where(cols < 48, cols % 2, np.where(cols < 96, (rows + cols) % 2, (rows + 2 * cols) % 3 > 0))
    film = Negative("lines", (0.5 + 0.4 * pattern).astype(np.float32), 0.0, (36.0, 24.0))
    seen = []
    for f_number, light_s in ((8.0, 6.0), (2.8, 0.75)):
        way = replace(Way(magnification=4.0), f_number=f_number)
        seen.append(way.sheet(film, way.exposure(light_s)).density.astype(float).ravel())
    return np.concatenate(seen)


LOOKS: dict[str, Callable[[], FloatArray]] = {
    look.__name__: look for look in (papers, matt_by_strip, films, grain, fine_lines)
}

if __name__ == "__main__":
    print(json.dumps({"sim": sim.__file__, "densities": np.round(LOOKS[sys.argv[1]](), 6).tolist()}))
