"""From scene and sleeve to a negative: luminance, camera, film curve, development, grain. No random draw.

The order of the lines in ``develop`` is the order in which it happens. The grain comes from a stored tile.
"""

from __future__ import annotations

import hashlib
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.negative.camera import falloff_factor, veiled
from sim.negative.film import Film, find_film, granularity_sd
from sim.negative.film_image import spread_in_film
from sim.negative.grain import grain_field
from sim.negative.identity import digest_of
from sim.negative.negative import Negative, Place
from sim.negative.scan import decode_density
from sim.negative.scene_file import decoded_luminance, read_scene_codes
from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Crop, Sleeve, seen_through
from sim.negative.targets import TARGETS, target_negative
from sim.picture_reading import read_grey_image
from sim.reading import FileRefused, Problem
from sim.shelf import OWN, Shelf

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
    scale = np.float32((_TABLE_STEPS - 1) / (_LOG_HIGH - _LOG_LOW))
    position = (np.log10(light) + np.float32(np.log10(lux_s) - _LOG_LOW)) * scale
    return np.asarray(table.take((position + np.float32(0.5)).astype(np.int32), mode="clip"))


def _with_grain(silver: Float32Array, film: Film, pixel_area_mm2: float, offset: int) -> Float32Array:
    levels = np.linspace(0.0, 4.0, 1025)
    table = granularity_sd(levels, film.rms_granularity, pixel_area_mm2).astype(np.float32)
    sd = table.take((silver * np.float32(256.0)).astype(np.int32), mode="clip")
    return np.maximum(silver + sd * grain_field(silver.shape, offset), np.float32(0.0))


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
    width_mm, height_mm = sleeve.frame_mm
    area_mm2 = (width_mm / silver.shape[1]) * (height_mm / silver.shape[0])
    grain_of = sleeve.name.removeprefix(OWN)  # one's own negative keeps its grain, wherever its file lies
    offset = int.from_bytes(hashlib.sha256(grain_of.encode()).digest()[:4], "big")
    silver = _with_grain(silver, film, area_mm2, offset)
    return Negative(
        name=sleeve.name,
        silver_density=silver,
        base_density=film.fog_with_development(sleeve.development),
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        rms_granularity=film.rms_granularity,
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
