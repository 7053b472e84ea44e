"""Height, image size and focus: thin-lens geometry of an enlarger.

With focal length f and magnification m: lens to paper ``v = f(1+m)``, negative to lens ``u = f(1+1/m)``, negative to
paper ``S = f(2 + m + 1/m)``. Source: thin-lens equation; tabulated e.g. in J. A. Tennant, Bromide Printing and Enlarging.
"""

from __future__ import annotations

import math

from sim.refusals import Refused


def lens_to_paper_mm(focal_mm: float, magnification: float) -> float:
    """Return v, the distance from lens to paper."""
    return focal_mm * (1.0 + magnification)


def negative_to_lens_mm(focal_mm: float, magnification: float) -> float:
    """Return u, the distance from negative to lens."""
    return focal_mm * (1.0 + 1.0 / magnification)


def height_for_magnification_mm(focal_mm: float, magnification: float) -> float:
    """Return the negative-to-paper distance S that gives a magnification when focused."""
    return focal_mm * (2.0 + magnification + 1.0 / magnification)


def magnification_at_height(focal_mm: float, height_mm: float) -> float:
    """Return the enlargement (1 or more) at a negative-to-paper distance. Raises Refused below 4f.

    A lens cannot bring the image nearer than four focal lengths from the negative (the 1:1 case).
    """
    excess = height_mm / focal_mm - 2.0
    if excess < 2.0 - 1e-9:
        raise Refused(
            f"height_mm must be at least {4 * focal_mm:g} mm for a {focal_mm:g} mm lens "
            f"(below that nothing can be focused), got {height_mm:g}"
        )
    return (excess + math.sqrt(max(excess * excess - 4.0, 0.0))) / 2.0


def working_f_number(f_number: float, magnification: float) -> float:
    """Return the f-number that the paper sees: ``N(1+m)`` (symmetrical lens; others 0.06-0.2 stop off)."""
    return f_number * (1.0 + magnification)


def lens_tangent(f_number: float, magnification: float) -> float:
    """Return the tangent of the half angle of light that the lens takes from the film: ``m / (2N(1+m))``.

    The pupil's radius f/2N over the distance ``f(1+1/m)`` from negative to lens.
    """
    return magnification / (2.0 * f_number * (1.0 + magnification))
