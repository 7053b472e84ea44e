"""How much light arrives on the axis.

On axis ``E = pi L T / (4 Nw**2)`` lux for a gate luminance L in cd/m2 and lens transmittance T. Source: standard photometry.
Off axis: fall_off.py.
"""

from __future__ import annotations

import numpy as np


def on_axis_illuminance_lux(luminance_cd_m2: float, transmittance: float, working_f_number: float) -> float:
    """Return easel illuminance on the axis, open gate, no filter."""
    return float(np.pi * luminance_cd_m2 * transmittance / (4.0 * working_f_number**2))


def contact_illuminance_lux(
    luminance_cd_m2: float, transmittance: float, lens_to_paper_mm: float, focal_mm: float, f_number: float
) -> float:
    """Return illuminance on the axis with an empty carrier: the lens is a lamp of diameter d = f/N at a distance.

    ``E = pi L T / (4 (v/d)**2)``: time grows with the square of the lens height.
    """
    diameter_mm = focal_mm / f_number
    return on_axis_illuminance_lux(luminance_cd_m2, transmittance, lens_to_paper_mm / diameter_mm)
