"""From scene luminance to light on the film: metering, mistakes, flare and uneven light.

A meter that sees a luminance Lm sets the camera so that Lm arrives as ``H = q K / S`` = 8.1/S lux s
(q = 0.65, K = 12.5 cd s/m2; ISO 2720, from memory). Everything else scales with luminance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from pydantic import Field

from sim.bands import bands
from sim.quantities import Float32Array

USUAL_OPENINGS = ((50.0, 8.0), (120.0, 11.0), (200.0, 22.0))  # up to which diagonal of film in mm, f-number
LARGE_SHEET_OPENING = 32.0
METERED_EXPOSURE_LUX_S_ISO = 0.65 * 12.5


@dataclass(frozen=True)
class Camera:
    """How the negative was exposed.

    ``metered_cd_m2`` is what the meter saw; ``error_stops`` (+ is more) a mistake; ``forgotten_magnification`` the image
    scale of a close-up whose bellows factor was forgotten; ``flare_share`` the share of the mean light that lens and bellows
    lay as a veil over the whole film; ``falloff_stops`` light lost towards ``falloff_towards_deg`` (0 = right edge, 90 =
    bottom edge); ``f_number`` the lens's opening (None: what is usual for the size of film). Flare is 0.01 for a clean,
    shaded lens to 0.04; 0.04 is taken where nothing is said, for an average subject of 2.20 log units is said to lose
    about 0.40 of them: one with all tones alike loses 0.35.
    """

    metered_cd_m2: Annotated[float, Field(gt=1e-3, le=1e5)]
    error_stops: Annotated[float, Field(ge=-6.0, le=6.0)] = 0.0
    forgotten_magnification: Annotated[float, Field(ge=0.0, le=3.0)] = 0.0
    flare_share: Annotated[float, Field(ge=0.0, le=0.2)] = 0.04
    falloff_stops: Annotated[float, Field(ge=0.0, le=5.0)] = 0.0
    falloff_towards_deg: Annotated[float, Field(ge=-360.0, le=360.0)] = 0.0
    f_number: Annotated[float, Field(ge=1.0, le=128.0)] | None = None

    def opening_for(self, frame_mm: tuple[float, float]) -> float:
        """Return the camera lens's f-number: the sleeve's, or what is usual for the film's size.

        f/8 for small film, f/11 for roll film, f/22 for sheets, f/32 for large ones (f/5.6-f/8 and f/22-f/32: common
        practice; between them assumption).
        """
        if self.f_number is not None:
            return self.f_number
        diagonal_mm = float(np.hypot(*frame_mm))
        return next((f_number for most_mm, f_number in USUAL_OPENINGS if diagonal_mm <= most_mm), LARGE_SHEET_OPENING)

    def exposure_per_luminance(self, iso_speed: float) -> float:
        """Return lux s on the film per cd/m2 in the scene.

        Bellows factor: ``(1 + m)**2`` (US Army SS0512; M. Langford). Forgetting it costs that much light.
        """
        bellows = (1.0 + self.forgotten_magnification) ** 2
        metered = METERED_EXPOSURE_LUX_S_ISO / iso_speed
        return metered / self.metered_cd_m2 * 2.0**self.error_stops / bellows


def falloff_factor(camera: Camera, rows: int, cols: int) -> Float32Array | None:
    """Return the light factor of uneven lighting [row, col] (1 at the bright edge), or None when it is even."""
    if camera.falloff_stops == 0.0:
        return None
    angle = np.radians(camera.falloff_towards_deg)
    reach = abs(np.cos(angle)) + abs(np.sin(angle))
    across, down = (
        (way / reach * (np.linspace(0.0, 1.0, count) - 0.5)).astype(np.float32)
        for way, count in ((np.cos(angle), cols), (np.sin(angle), rows))
    )
    lost = np.float32(-camera.falloff_stops * np.log(2.0))
    out = np.empty((rows, cols), dtype=np.float32)
    for band in bands(out.shape):
        share = down[band, None] + across[None, :]
        share += np.float32(0.5)
        smooth = np.float32(3.0) - share * np.float32(2.0)
        smooth *= share
        smooth *= share
        smooth *= lost
        np.exp(smooth, out=out[band])
    return out

def veiled(light: Float32Array, flare_share: float) -> Float32Array:
    """Return light on the film with camera flare: a share of the picture's own mean, laid evenly over the whole of it.

    ``flare_share`` 0-0.2 belongs to the lens. Even: what glows around bright places beyond that is left out (assumption).
    """
    if flare_share == 0.0:
        return light
    return light + np.float32(flare_share * float(light.mean(dtype=np.float64)))
