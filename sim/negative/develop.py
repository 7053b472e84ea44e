"""From scene and sleeve to a negative: luminance, camera, film curve, development, grain. No random draw.

The order of the lines in ``develop`` is the order in which it happens. The grain comes from a stored tile.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.bands import bands, look_up
from sim.negative.camera import Camera, falloff_factor, veiled
from sim.negative.film import Film, find_film
from sim.negative.film_image import spread_in_film
from sim.negative.identity import digest_of
from sim.negative.negative import Negative, Place
from sim.negative.roll import Roll, as_fine_as_a_contact, side_by_side, upright_as
from sim.negative.scan import decode_density
from sim.negative.scene_file import decoded_luminance, read_scene_codes
from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Crop, Sleeve, seen_through
from sim.negative.targets import TARGETS, negative_on, target_negative
from sim.negative.variants import variant
from sim.picture_reading import read_grey_image
from sim.quantities import Float32Array
from sim.reading import FileRefused, Problem
from sim.shelf import VARIANT_MARK, Shelf

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
        look_up(table, step, out[band])
    return out


def light_in_film(sleeve: Sleeve, film: Film) -> Float32Array | None:
    """Return the light that lies in a film behind the camera, cd/m2 of the scene [row, col]; None where none was exposed.

    Films that spread light alike get the same from a scene, whatever they make of it. Raises OutsideError.
    """
    if sleeve.scene in TARGETS or sleeve.scan is not None:
        return None
    whole, low, high = read_scene_codes(sleeve.scene)
    light = decoded_luminance(_cropped(whole, sleeve.crop, sleeve.mirrored), low, high)
    falloff = falloff_factor(sleeve.camera, *light.shape)
    if falloff is not None:
        light *= falloff
    light = veiled(light, sleeve.camera.flare_share)
    return spread_in_film(light, sleeve.frame_mm, sleeve.camera.opening_for(sleeve.frame_mm), film.spread_lp_mm)


def develop(sleeve: Sleeve, on: Film | None = None, light: Float32Array | None = None) -> Negative:
    """Return the negative of a sleeve, on the film it names unless another is given.

    ``light`` is what ``light_in_film`` has found for this sleeve and film, if somebody has it at hand.
    Raises OutsideError when scene or film are unknown or damaged.
    """
    if sleeve.scene in TARGETS:
        return target_negative(sleeve)
    if sleeve.scan is not None:
        return _scanned(sleeve)
    if sleeve.roll is not None:
        return _of_a_roll(sleeve, sleeve.roll, on or find_film(sleeve.film))
    film = on or find_film(sleeve.film)
    light = light_in_film(sleeve, film) if light is None else light
    assert light is not None
    silver = _silver(light, sleeve, film)
    places = tuple(seen_through(place, sleeve.crop, sleeve.mirrored) for place in sleeve.places)
    digest = digest_of(sleeve, film, read_scene_codes(sleeve.scene)[0])
    return negative_on(film, sleeve, silver, film.fog_with_development(sleeve.development), places, digest)


def _of_a_roll(sleeve: Sleeve, roll: Roll, film: Film) -> Negative:
    """Return a roll's strips side by side: each frame as its own sleeve was taken, all developed together."""
    frames, digest = [], hashlib.sha256(f"{digest_of(sleeve, film, None)} {roll}".encode())
    for index in range(len(roll.frames)):
        own = _frame_of(sleeve, roll, index)
        codes, low, high = read_scene_codes(own.scene)
        digest.update(digest_of(own, film, codes).encode())
        light = upright_as(roll.frame_mm, decoded_luminance(_cropped(codes, own.crop, own.mirrored), low, high))
        light = as_fine_as_a_contact(light, roll.frame_mm)
        falloff = falloff_factor(own.camera, *light.shape)
        light = veiled(light if falloff is None else light * falloff, own.camera.flare_share)
        frames.append(_silver(light, own, film))
    return Negative(
        name=sleeve.name,
        silver_density=side_by_side(roll, frames),
        base_density=film.fog_with_development(sleeve.development),
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        gamma=film.gamma(sleeve.development),
        places=sleeve.places,
        digest=digest.hexdigest(),
    )


def _frame_of(sleeve: Sleeve, roll: Roll, index: int) -> Sleeve:
    """Return how one frame of a roll was taken, as a sleeve; what is the roll's own (development, frame) is the roll's."""
    name, keys = roll.frames[index], sleeve.name.split(VARIANT_MARK)[1:]
    if roll.taken:
        how = roll.taken[index]
        camera = Camera(how.metered_cd_m2, error_stops=how.error_stops)
        own = replace(sleeve, name=name, scene=name, camera=camera, roll=None, places=())
        own = variant(own, keys[0]) if keys else own
    else:
        own = find_sleeve(VARIANT_MARK.join((name, *keys)))
    return replace(own, frame_mm=roll.frame_mm, development=sleeve.development, stain_share=sleeve.stain_share)


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
