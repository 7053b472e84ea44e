"""What was measured of an enlarger of one's own: by how much its light differs from what its head's file says, and how surely.

Level, filters, marks of the lens and law of height act on the seconds of every print made with that head. All are counted
from one setting that was measured first: its filter, its mark, its magnification. What nobody measured is as the file says,
within what enlargers are apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from pydantic import Field

from sim.reading import OUTSIDE_RULES

# log10, standard deviation of what nobody measured (assumptions): a filter of another set than the shipped one, a mark of the
# ring against its number, and the power of (1 + magnification) against the law of diffuse light.
FILTER_ERROR, MARK_ERROR, POWER_ERROR = 0.06, 0.03, 0.25

Log = Annotated[float, Field(ge=-2.0, le=2.0)]
LogError = Annotated[float, Field(ge=0.0, le=1.0)]


@dataclass(frozen=True)
class Factor:
    """How much more light (log10) one filter or one mark of the ring gives than the head's file says, and how sure that is."""

    __pydantic_config__ = OUTSIDE_RULES
    name: Annotated[str, Field(min_length=1, max_length=20)]
    log_factor: Log
    error: LogError


@dataclass(frozen=True)
class OwnLight:
    """The measured light of an enlarger: ``level_error`` is that of the gate's luminance, in log10.

    ``reference_filter``, ``reference_mark`` and ``reference_magnification`` are the setting all else is counted from;
    ``paper`` is the paper it was measured on, for level and paper's speed cannot be told apart. ``power`` is what the law
    of height lacks: light falls with (1 + magnification) to the power of -2 + ``power``. ``corner_stops`` less light in the
    corners than in the middle, and ``safe_min`` minutes without fog under the safelight, are kept to be told.
    """

    __pydantic_config__ = OUTSIDE_RULES
    paper: Annotated[str, Field(max_length=80)]
    level_error: LogError
    reference_filter: Annotated[str, Field(max_length=20)]
    reference_mark: Annotated[float, Field(ge=1.0, le=90.0)]
    reference_magnification: Annotated[float, Field(ge=1.0, le=60.0)]
    filters: Annotated[tuple[Factor, ...], Field(max_length=16)] = ()
    marks: Annotated[tuple[Factor, ...], Field(max_length=16)] = ()
    power: Annotated[float, Field(ge=-2.0, le=2.0)] = 0.0
    power_error: Annotated[float, Field(ge=0.0, le=1.0)] = POWER_ERROR
    corner_stops: Annotated[float, Field(ge=-1.0, le=6.0)] | None = None
    safe_min: Annotated[float, Field(ge=0.0, le=120.0)] | None = None

    def of_filter(self, name: str) -> tuple[float, float]:
        """Return how much more light a filter gives than its file says (log10), and the error of that."""
        return _of(self.filters, name, self.reference_filter, FILTER_ERROR)

    def of_mark(self, f_number: float) -> tuple[float, float]:
        """Return the same of a mark on the lens's ring."""
        return _of(self.marks, f"{f_number:g}", f"{self.reference_mark:g}", MARK_ERROR)

    def of_size(self, magnification: float) -> tuple[float, float]:
        """Return the same of a magnification, by the law of height that was measured."""
        apart = float(np.log10((1.0 + magnification) / (1.0 + self.reference_magnification)))
        return self.power * apart, self.power_error * abs(apart)

    def without_filter(self, f_number: float, magnification: float) -> float:
        """Return what multiplies the light on the easel for a mark and a size."""
        return float(10.0 ** (self.of_mark(f_number)[0] + self.of_size(magnification)[0]))

    def log_error(self, filter_name: str, f_number: float, magnification: float) -> float:
        """Return the standard error of the light (log10) of one exposure on the paper it was measured on."""
        parts = (
            self.level_error,
            self.of_filter(filter_name)[1],
            self.of_mark(f_number)[1],
            self.of_size(magnification)[1],
        )
        return float(np.sqrt(np.sum(np.square(parts))))


def _of(factors: tuple[Factor, ...], name: str, reference: str, unmeasured: float) -> tuple[float, float]:
    if name == reference:
        return 0.0, 0.0
    return next(((one.log_factor, one.error) for one in factors if one.name == name), (0.0, unmeasured))
