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

from sim.quantities import FloatArray

# log10, standard deviation of what nobody measured (assumptions): a filter of another set than the shipped one, a mark of the
# ring against its number, and the power of (1 + magnification) against the law of diffuse light.
FILTER_ERROR, MARK_ERROR, POWER_ERROR = 0.06, 0.03, 0.25
# log10, how far single prints of one darkroom lie apart that were each called right, before any print tells: the guess of
# ``calibration/print_scatter`` as a Student's t, with its degrees of freedom.
USUAL_SCATTER, USUAL_FREEDOM = 0.0867, 3.77
MOST_PRINTS = 60
FURTHEST_READ = 1.5  # times the distance at which a corner was read

Log = Annotated[float, Field(ge=-2.0, le=2.0)]
LogError = Annotated[float, Field(ge=0.0, le=1.0)]


@dataclass(frozen=True)
class Factor:
    """How much more light (log10) one filter or one mark of the ring gives than the head's file says, and how sure that is."""

    name: Annotated[str, Field(min_length=1, max_length=20)]
    log_factor: Log
    error: LogError


@dataclass(frozen=True)
class RightPrint:
    """A straight print that was right: its setting, and how much more light (log10) than the file's level it tells of.

    Nothing of filter, mark and size is taken off ``log_light``. ``time_s`` and ``read_on`` are kept to be told.
    """

    filter: Annotated[str, Field(max_length=20)]
    f_number: Annotated[float, Field(ge=1.0, le=90.0)]
    magnification: Annotated[float, Field(ge=1.0, le=60.0)]
    log_light: Annotated[float, Field(ge=-6.0, le=6.0)]
    time_s: Annotated[float, Field(ge=0.0, le=3600.0)]
    read_on: Annotated[str, Field(max_length=80)] = ""


@dataclass(frozen=True)
class Together:
    """Two numbers ("level", "filter 4", "mark 5.6", "power") whose errors hang together: covariance, log10 squared."""

    one: Annotated[str, Field(max_length=30)]
    other: Annotated[str, Field(max_length=30)]
    covariance: Annotated[float, Field(ge=-1.0, le=1.0)]


@dataclass(frozen=True)
class Begun:
    """What was known before the first print that was right: from patches, or of any head of its kind.

    ``log_level`` is where the level stood then, against the level in the file now.
    """

    log_level: Annotated[float, Field(ge=-6.0, le=6.0)]
    level_error: LogError
    filters: Annotated[tuple[Factor, ...], Field(max_length=16)] = ()
    marks: Annotated[tuple[Factor, ...], Field(max_length=16)] = ()
    power: Annotated[float, Field(ge=-2.0, le=2.0)] = 0.0
    power_error: LogError = POWER_ERROR
    together: Annotated[tuple[Together, ...], Field(max_length=400)] = ()


@dataclass(frozen=True)
class OwnLight:
    """The measured light of an enlarger: ``level_error`` is that of the gate's luminance, in log10.

    ``reference_filter``, ``reference_mark`` and ``reference_magnification`` are the setting all else is counted from;
    ``paper`` is the paper it was measured on, for level and paper's speed cannot be told apart. ``power`` is what the law of
    height lacks: light falls with (1 + magnification) to the power of -2 + ``power``. ``corner_stops`` less light in the
    corners than in the middle, of which ``uneven`` (log10) is not the lens's: it grows with the square of the distance from
    the axis on the film, ``uneven_mm`` where it was read (None: nobody said where). ``safe_min`` minutes under the safelight
    left no mark of a coin on pre-exposed grey, ``marked_min`` did. ``prints`` were right; ``scatter`` (log10) is how far
    single ones lie apart, known as surely as ``freedom`` degrees of freedom.
    """

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
    uneven: Annotated[float, Field(ge=-2.0, le=2.0)] = 0.0
    uneven_mm: Annotated[float, Field(ge=1.0, le=500.0)] | None = None
    safe_min: Annotated[float, Field(ge=0.0, le=120.0)] | None = None
    marked_min: Annotated[float, Field(ge=0.0, le=120.0)] | None = None
    together: Annotated[tuple[Together, ...], Field(max_length=400)] = ()
    prints: Annotated[tuple[RightPrint, ...], Field(max_length=MOST_PRINTS)] = ()
    scatter: Annotated[float, Field(gt=0.0, le=3.0)] = USUAL_SCATTER
    freedom: Annotated[float, Field(ge=1.0, le=1000.0)] = USUAL_FREEDOM
    begun: Begun | None = None

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

    def evenness(self, film_mm: FloatArray) -> FloatArray:
        """Return the light at distances from the axis on the film over that on it, the lens's own law left out.

        Beyond one and a half times the distance that was read it is taken to fall no further.
        """
        if self.uneven_mm is None:
            return np.ones_like(film_mm)
        return np.asarray(10.0 ** (-self.uneven * np.minimum(film_mm / self.uneven_mm, FURTHEST_READ) ** 2))

    def log_error(self, filter_name: str, f_number: float, magnification: float) -> float:
        """Return the standard error of the light (log10) of one exposure on the paper it was measured on."""
        errors = {
            "level": self.level_error,
            f"filter {filter_name}": self.of_filter(filter_name)[1],
            f"mark {f_number:g}": self.of_mark(f_number)[1],
            "power": self.of_size(magnification)[1],
        }
        apart = float(np.log10((1.0 + magnification) / (1.0 + self.reference_magnification)))
        variance = sum(error**2 for error in errors.values())
        for both in self.together:
            if both.one in errors and both.other in errors:
                variance += 2.0 * both.covariance * (apart if "power" in (both.one, both.other) else 1.0)
        return float(np.sqrt(max(variance, 0.0)))

    def next_print(
        self, filter_name: str, f_number: float, magnification: float, paper_error: float = 0.0
    ) -> tuple[float, float, float]:
        """Return the standard error (log10) of the time that will be right for the next print, in two parts.

        First what hangs on no print: the light's error as it was measured, and ``paper_error`` of another paper. Then what the
        scatter of prints makes, the next one's and as much in the light, and with how many degrees of freedom it is known.
        """
        light, one = self.log_error(filter_name, f_number, magnification) ** 2, self.scatter**2
        scattered = one + min(light, one)
        return float(np.sqrt(light + one + paper_error**2 - scattered)), float(np.sqrt(scattered)), self.freedom


def _of(factors: tuple[Factor, ...], name: str, reference: str, unmeasured: float) -> tuple[float, float]:
    if name == reference:
        return 0.0, 0.0
    return next(((one.log_factor, one.error) for one in factors if one.name == name), (0.0, unmeasured))
