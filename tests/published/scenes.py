"""Scenes set up before the camera, and what film makes of them: known luminances in, silver out.

Only the luminances are ours; camera, meter, flare, film and development are the product's.
"""

from __future__ import annotations

from dataclasses import replace
from unittest.mock import patch

import numpy as np
from numpy.typing import NDArray

from sim.negative.develop import develop
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve

from .checks import kept
from .sheets import FloatArray

LOG_LOW, LOG_HIGH = -4.0, 4.0  # log10 of cd/m2 that the codes of a scene span
GREY_CD_M2 = 10.0  # what the meter is held on; the log luminances below are counted from it
ZONE = float(np.log10(2.0))


NO_FLARE = {"flare_share": 0.0}


def taken(
    log_luminance: NDArray[np.float64],
    film: str = "medium",
    development: float = 1.0,
    pixel_mm: float = 0.1,
    **camera_as: float,
) -> Negative:
    """Expose and develop a scene given in log10 of the metered grey's luminance, with a shipped negative's camera."""
    usual = find_sleeve("morning-shelf")
    share = (np.asarray(log_luminance) + np.log10(GREY_CD_M2) - LOG_LOW) / (LOG_HIGH - LOG_LOW)
    codes = np.round(np.clip(share, 0.0, 1.0) * 65535.0).astype(np.uint16)
    rows, cols = codes.shape
    camera = replace(usual.camera, metered_cd_m2=GREY_CD_M2, error_stops=0.0, **camera_as)  # type: ignore[arg-type]
    sleeve = replace(
        usual, name="set-up-scene", camera=camera, film=film, development=development, places=(),
        frame_mm=(cols * pixel_mm, rows * pixel_mm), crop=type(usual.crop)(), mirrored=False,
    )  # fmt: skip
    with patch("sim.negative.develop.read_scene_codes", return_value=(codes, LOG_LOW, LOG_HIGH)):
        return develop(sleeve)


@kept
def film_curve(film: str = "medium", development: float = 1.0) -> tuple[FloatArray, FloatArray]:
    """Return log exposure (from the metered grey) and net density, from a slow ramp taken without flare.

    The ramp rises and falls again, so that no edge of the picture lies beside its opposite in brightness. Grain is evened
    out over its height.
    """
    logs = np.arange(-2.4, 2.6, 0.005)
    both = np.concatenate([logs, logs[::-1]])
    silver = taken(np.broadcast_to(both, (400, len(both))), film, development, **NO_FLARE).silver_density
    rising, falling = np.split(silver.astype(float).mean(axis=0), 2)
    return logs, np.maximum.accumulate(0.5 * (rising + falling[::-1]))


def log_for(net_density: float, film: str = "medium", development: float = 1.0) -> float:
    """Return the log exposure, from the metered grey, that develops to a net density."""
    logs, densities = film_curve(film, development)
    rising = np.concatenate([[True], np.diff(densities) > 1e-5])
    return float(np.interp(net_density, densities[rising], logs[rising]))


def density_at(log_exposure: float, film: str = "medium", development: float = 1.0) -> float:
    """Return the net density at a log exposure from the metered grey."""
    logs, densities = film_curve(film, development)
    return float(np.interp(log_exposure, logs, densities))


@kept
def zone_development(zone: float, film: str = "medium") -> float:
    """Return the development at which a zone is 1.30 dense when Zone I is the point of net 0.10 in normal development.

    Zone VIII asks for normal development, VII for one zone more, IX for one zone less.
    """
    from scipy.optimize import brentq

    one = log_for(0.10, film, 1.0)
    miss = lambda x: density_at(one + (zone - 1.0) * ZONE, film, round(float(x), 4)) - 1.30  # noqa: E731
    return round(float(brentq(miss, 0.5, 1.6, xtol=2e-3)), 4)


def three_tones(share_bright: float, share_dark: float, log_range: float) -> tuple[NDArray[np.float64], slice, slice]:
    """Return a scene: bright and dark areas a range apart, the rest the metered grey; and the columns of each."""
    columns = 120
    bright, dark = round(share_bright * columns), round(share_dark * columns)
    row = np.zeros(columns)
    row[:bright], row[columns - dark :] = 0.40 * log_range, -0.60 * log_range
    return np.broadcast_to(row, (90, columns)).copy(), slice(2, bright - 2), slice(columns - dark + 2, columns - 2)


def light_range(share_bright: float, share_dark: float, log_range: float) -> float:
    """Return the log range of light on the film between the middles of a scene's bright and dark areas."""
    scene, bright, dark = three_tones(share_bright, share_dark, log_range)
    silver = taken(scene).silver_density
    return log_for(float(silver[30:60, bright].mean())) - log_for(float(silver[30:60, dark].mean()))
