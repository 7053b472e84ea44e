"""Variants: a family of negatives from one sleeve, each named by a key, so that every learner can get one of their own.

A key decides, through a hash and nothing else, how the same scene was exposed, developed, cropped, turned and lit. The
changes go THROUGH camera and film curve: a stop and a half less exposure compresses the shadows as it does on film.
``morning-shelf~k7f2`` is the variant ``k7f2`` of ``morning-shelf``; the name alone brings it back.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace

from sim.negative.sleeve_contents import Crop, Sleeve
from sim.refusals import Refused
from sim.shelf import VARIANT_MARK, is_variant_key


@dataclass(frozen=True)
class VariantRange:
    """How far a family may go: stops of exposure (+-), development against the sleeve's own, crop, fall-off."""

    exposure_stops: float = 1.5
    least_development: float = 0.70
    most_development: float = 1.40
    most_crop: float = 0.12
    most_falloff_stops: float = 1.0
    may_mirror: bool = True


def _shares(sleeve_name: str, key: str) -> Iterator[float]:
    """Yield numbers from 0 to 1 drawn from the hash of sleeve and key: the same on every machine, for ever."""
    block = 0
    while True:
        digest = hashlib.blake2b(f"{sleeve_name}\n{key}\n{block}".encode(), digest_size=32).digest()
        for start in range(0, 32, 4):
            yield int.from_bytes(digest[start : start + 4], "big") / 0xFFFFFFFF
        block += 1


def variant(sleeve: Sleeve, key: str, within: VariantRange | None = None) -> Sleeve:
    """Return the variant of a sleeve that a key names. Raises Refused for a key that is not letters, digits, hyphens.

    Exposure and development are rounded to a twelfth of a stop and a hundredth, as they would be written on a sleeve.
    """
    if not is_variant_key(key):
        raise Refused(f"a variant's key must be 1 to 64 small letters, digits or hyphens, got {key!r}")
    span = within or VariantRange()
    share = _shares(sleeve.name, key)
    stops = round(12.0 * span.exposure_stops * (2.0 * next(share) - 1.0)) / 12.0
    factor = span.least_development * (span.most_development / span.least_development) ** next(share)
    crop = _cropped(sleeve.crop, span.most_crop, next(share), next(share), next(share))
    falloff = round(12.0 * span.most_falloff_stops * max(0.0, 2.0 * next(share) - 1.0)) / 12.0
    camera = replace(
        sleeve.camera,
        error_stops=sleeve.camera.error_stops + stops,
        falloff_stops=max(sleeve.camera.falloff_stops, falloff),
        falloff_towards_deg=round(360.0 * next(share)) if falloff else sleeve.camera.falloff_towards_deg,
    )
    return replace(
        sleeve,
        name=f"{sleeve.name}{VARIANT_MARK}{key}",
        camera=camera,
        development=round(min(max(sleeve.development * factor, 0.3), 2.5), 2),
        crop=crop,
        mirrored=sleeve.mirrored != (span.may_mirror and next(share) > 0.5),
        wants_filter=None,
        looks=(),
        owed=(),
        range_stops=None,
        scene_stops=None,
        beside="",
    )


def _cropped(crop: Crop, most: float, size: float, across: float, down: float) -> Crop:
    """Return a slightly smaller crop, moved within what was left over; the frame's proportions stay."""
    keep = 1.0 - most * size
    width, height = crop.right - crop.left, crop.bottom - crop.top
    left = crop.left + across * (1.0 - keep) * width
    top = crop.top + down * (1.0 - keep) * height
    return Crop(left, top, left + keep * width, top + keep * height)
