"""How much light arrives on the axis.

On axis ``E = pi L T / (4 Nw**2)`` lux for a gate luminance L in cd/m2 and lens transmittance T. Source: standard photometry.
Off axis: fall_off.py.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import working_f_number
from sim.enlarger.settings import Bench, checked_aperture
from sim.enlarger.spectra import VISIBLE_NM, Spectrum, photopic_efficiency


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


def open_gate_lux(bench: Bench, f_number_mark: float) -> float:
    """Return lux on the axis at a mark of the lens's ring with nothing in the carrier and no filter.

    Raises SettingsRefused for an aperture the lens does not have.
    """
    f_number, head, lens = checked_aperture(bench.lens, f_number_mark), bench.head, bench.lens
    measured = 1.0 if head.own is None else head.own.without_filter(f_number_mark, bench.magnification)
    if bench.settings.contact:
        return measured * contact_illuminance_lux(
            head.gate_luminance_cd_m2, lens.transmittance, bench.lens_to_paper_mm, lens.focal_mm, f_number
        )
    working_f = working_f_number(f_number, bench.magnification)
    return measured * on_axis_illuminance_lux(head.gate_luminance_cd_m2, lens.transmittance, working_f)


def eye_share(lamp: Spectrum, filtration: FilterSetting) -> float:
    """Return the share of the lamp's light, as the eye weighs it, that a filter passes.

    The lamp is weighed with V(lambda) over the wavelengths that paper sees, the red beyond as at 620 nm.
    """
    eye = _eye(len(lamp)) * lamp
    return float((eye * filtration.densities().transmittance()).sum() / eye.sum())


@lru_cache(maxsize=4)
def _eye(count: int) -> Spectrum:
    """Return the eye's weights on the first so many visible wavelengths; a meter and every frame ask for the same ones."""
    return photopic_efficiency(VISIBLE_NM[:count])
