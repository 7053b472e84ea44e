"""From scene and sleeve to a negative: luminance, camera, film curve, development, grain. No random draw.

The order of the lines in ``develop`` is the order in which it happens. The grain comes from a stored tile.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.bands import bands
from sim.negative.camera import falloff_factor, veiled
from sim.negative.film import Film, find_film
from sim.negative.film_image import spread_in_film
from sim.negative.identity import digest_of, grain_key
from sim.negative.negative import Negative, Place
from sim.negative.scan import decode_density
from sim.negative.scene_file import decoded_luminance, read_scene_codes
from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Crop, Sleeve, seen_through
from sim.negative.targets import TARGETS, target_negative
from sim.picture_reading import read_grey_image
from sim.reading import FileRefused, Problem
from sim.shelf import Shelf

Float32Array = NDArray[np.float32]
Pixels = TypeVar("Pixels", NDArray[np.uint16], NDArray[np.float32])

_LOG_LOW, _LOG_HIGH = -6.0, 4.0
_TABLE_STEPS = 65536


def _cropped(codes: Pixels, crop: Crop, mirrored: bool) -> Pixels:
    rows, cols = codes.shape
    part = codes[round(crop.top * rows) : round(crop.bottom * rows), round(crop.left * cols) : round(crop.right * cols)]
    return part[:, ::-1] if mirrored else part


def _silver(light: Float32Array, sleeve: Sleeve, film: Film) -> Float32Array:
    """Return net silver density for light on the film, through one table look-up on log exposure."""
    lux_s = sleeve.camera.exposure_per_luminance(film.iso_speed)
    table = film.net_density(np.linspace(_LOG_LOW, _LOG_HIGH, _TABLE_STEPS), sleeve.development).astype(np.float32)
    per_log = (_TABLE_STEPS - 1) / (_LOG_HIGH - _LOG_LOW)
    first = np.float32((np.log10(lux_s) - _LOG_LOW) * per_log + 0.5)
    out = np.empty(light.shape, dtype=np.float32)
    for band in bands(light.shape):
        step = np.log(light[band])
        step *= np.float32(per_log / np.log(10.0))
        step += first
        out[band] = table.take(step.astype(np.int32), mode="clip")
    return out


def develop(sleeve: Sleeve, on: Film | None = None) -> Negative:
    """Return the negative of a sleeve, on the film it names unless another is given.

    Raises OutsideError when scene or film are unknown or damaged.
    """
    if sleeve.scene in TARGETS:
        return target_negative(sleeve)
    if sleeve.scan is not None:
        return _scanned(sleeve)
    film = on or find_film(sleeve.film)
    whole, low, high = read_scene_codes(sleeve.scene)
    codes = _cropped(whole, sleeve.crop, sleeve.mirrored)
    light = decoded_luminance(codes, low, high)
    falloff = falloff_factor(sleeve.camera, *light.shape)
    if falloff is not None:
        light = light * falloff
    light = veiled(light, sleeve.camera.flare_share)
    light = spread_in_film(light, sleeve.frame_mm, sleeve.camera.opening_for(sleeve.frame_mm), film.spread_lp_mm)
    silver = _silver(light, sleeve, film)
    grain = film.grain(sleeve.development, grain_key(sleeve))
    silver = np.maximum(grain.laid_on(silver, sleeve.frame_mm[0] / silver.shape[1], (0, 0)), np.float32(0.0))
    return Negative(
        name=sleeve.name,
        silver_density=silver,
        base_density=film.fog_with_development(sleeve.development),
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        rms_granularity=grain.rms_granularity,
        clump_mm=grain.clump_mm,
        grain_key=grain.key,
        gamma=film.gamma(sleeve.development),
        places=tuple(seen_through(place, sleeve.crop, sleeve.mirrored) for place in sleeve.places),
        digest=digest_of(sleeve, film, whole),
    )


def _scanned(sleeve: Sleeve) -> Negative:
    """Return the negative of a scan: its densities stand as they were measured, its grain is normal (assumption)."""
    assert sleeve.scan is not None
    codes, bits = read_grey_image(sleeve.scan.file)
    if bits != 16:
        raise FileRefused(sleeve.scan.file, [Problem("", "must be a 16-bit picture of density", f"{bits} bits")])
    silver = np.ascontiguousarray(_cropped(decode_density(codes), sleeve.crop, sleeve.mirrored))
    return Negative(
        name=sleeve.name,
        silver_density=silver,
        base_density=sleeve.scan.base_density,
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        places=tuple(seen_through(place, sleeve.crop, sleeve.mirrored) for place in sleeve.places),
        digest=digest_of(sleeve, None, codes),
    )


def scene_luminance_at(sleeve: Sleeve, place: Place, spot_mm: float) -> float:
    """Return the scene's mean luminance (cd/m2) behind a place of the negative, in a spot of the given size on film."""
    codes, low, high = read_scene_codes(sleeve.scene)
    codes = _cropped(codes, sleeve.crop, sleeve.mirrored)
    rows, cols = codes.shape
    reach = max(0, round(0.5 * spot_mm * cols / sleeve.frame_mm[0]))
    row, col = min(int(place.y * rows), rows - 1), min(int(place.x * cols), cols - 1)
    spot = codes[max(row - reach, 0) : row + reach + 1, max(col - reach, 0) : col + reach + 1]
    return float(decoded_luminance(spot, low, high).mean())


def find_negative(name: str, shelf: Shelf | None = None) -> Negative:
    """Return the developed negative of a sleeve by its name on the shelf. Raises OutsideError."""
    return develop(find_sleeve(name, shelf))
