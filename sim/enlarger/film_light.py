"""What a negative passes into a lens: silver that scatters, seen from a head, at the film's pixels or squares of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sim.bands import BAND_PX, bands, look_up
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.enlarger.easel import FilmCoordinates, sampled, seen_of
from sim.enlarger.geometry import lens_tangent
from sim.enlarger.settings import Bench, checked_aperture
from sim.negative.callier import NONE, Scattering, caught_share, grain_exponent
from sim.negative.negative import Negative
from sim.quantities import Float32Array

KEPT_WHOLE_PX = 5_100_000  # of film: 20 MB of light, all that is shipped but a few; a window keeps several


def scattering_of(negative: Negative, bench: Bench, f_number_mark: float) -> Scattering:
    """Return what a negative's grain does between this head and this lens at an aperture; nothing in contact.

    Contact prints see diffuse density whatever the head. The lens is seen from the film's middle.
    """
    if bench.settings.contact:
        return NONE
    lens = lens_tangent(checked_aperture(bench.lens, f_number_mark), bench.magnification)
    caught = caught_share(bench.head.light_half_angle_deg, lens)
    return Scattering(grain_exponent(negative.gamma), caught) if caught < 1.0 else NONE


@dataclass(frozen=True, eq=False)
class FilmLight:
    """What a negative passes into a lens, whatever sheet lies below: worked out once for many sheets.

    For pieces of a sheet only what is seen of the film there is worked out, unless the whole is known already.
    """

    negative: Negative
    scattering: Scattering
    flipped: bool

    @cached_property
    def silver(self) -> Float32Array:
        """What the silver alone passes, [row, col]."""
        return self._through(self._facing)

    @property
    def _keeps_whole(self) -> bool:
        """Tell whether the whole is worth keeping, so that squares of several sizes ask for it once: not of a large scan."""
        return "silver" in self.__dict__ or self.negative.silver_density.size <= KEPT_WHOLE_PX

    @property
    def _facing(self) -> Float32Array:
        silver = self.negative.silver_density
        return silver[:, ::-1] if self.flipped else silver

    def _through(self, silver: Float32Array) -> Float32Array:
        """Return what silver densities pass; the finest of them are told apart by 0.0001 under a condenser."""
        out = np.empty(silver.shape, dtype=np.float32)
        table, per_density = self._tones
        for band in bands(silver.shape):
            density = silver[band] * np.float32(per_density)
            if table is None:
                np.exp(density, out=out[band])
            else:
                density += np.float32(0.5)
                look_up(table, density, out[band])
        return out

    @cached_property
    def _tones(self) -> tuple[Float32Array | None, float]:
        """A table of transmittance by density and its steps per unit; without scatter none, but the power of e."""
        if not self.scattering.shows:
            return None, -float(np.log(10.0))
        steps = 32768  # half a step is below 0.0001 density: the hardest filters make eight times that of it
        diffuse = np.linspace(0.0, max(4.0, float(self.negative.silver_density.max())), steps + 1)
        return (10.0 ** -self.scattering.printing_density(diffuse)).astype(np.float32), steps / diffuse[-1]

    def averaged(self, px: int) -> Float32Array:
        """Return what is passed by squares of so many pixels, the mean of light and not of density; of the last kept."""
        if px in self._averages:
            return self._averages[px]
        rows, cols = self.negative.silver_density.shape
        firsts, wide = np.arange(0, cols, px), _held_by_squares(cols, px)
        out = np.empty((-(-rows // px), len(wide)), dtype=np.float32)
        many = len(out) if self._keeps_whole else max(BAND_PX // (cols * px), 1)  # what is kept whole is summed in one go
        for first in range(0, len(out), many):
            band = slice(first * px, (first + many) * px)
            light = self.silver[band] if self._keeps_whole else self._through(self._facing[band])
            sums = np.add.reduceat(_summed(light, px), firsts, axis=1)
            np.divide(sums, _held_by_squares(len(light), px)[:, None] * wide, out=out[first : first + many])
        self._averages[px] = out
        return out

    @cached_property
    def _averages(self) -> dict[int, Float32Array]:
        return {}

    def thinned(self, step: int) -> FilmLight:
        """Return the same light of every so many-th pixel, down and across: for what is asked coarsely; of each step kept."""
        if step not in self._thinned:
            silver = self.negative.silver_density[step // 2 :: step, step // 2 :: step]
            self._thinned[step] = replace(self, negative=replace(self.negative, silver_density=silver))
        return self._thinned[step]

    @cached_property
    def _thinned(self) -> dict[int, FilmLight]:
        return {}

    @cached_property
    def coarse_sheets(self) -> KeptWithin[tuple[Float32Array, Float32Array]]:
        """Whole sheets in coarse cells, as the film passes the light and as the lens blurs it: the last few kept."""
        return KeptWithin(MEGABYTE)

    def sampled(self, at: FilmCoordinates, outside: float) -> Float32Array:
        """Return what is passed at a sheet's points, [row, col]; ``outside`` beyond the frame.

        Points further apart than two pixels of the negative see the light of squares of them.
        """
        pitch, shape = self.negative.px_per_mm, self.negative.silver_density.shape
        coarser = int(pitch * at.pitch_mm)
        if coarser >= 2:
            squares = (shape[0] / coarser, shape[1] / coarser)
            return sampled(self.averaged(coarser), pitch / coarser, at, outside, whole=squares)
        rows, cols = seen_of(shape, pitch, at)
        known = "silver" in self.__dict__
        if known or 2 * (rows.stop - rows.start) * (cols.stop - cols.start) > shape[0] * shape[1]:
            return sampled(self.silver, pitch, at, outside)
        return sampled(self._through(self._facing[rows, cols]), pitch, at, outside, (rows.start, cols.start), shape)


def _held_by_squares(count: int, px: int) -> Float32Array:
    """Return how many pixels of a side each square of so many holds: the last may be cut."""
    return np.minimum(px, count - np.arange(0, count, px)).astype(np.float32)


def _summed(light: Float32Array, px: int) -> Float32Array:
    """Return the sums of so many neighbouring rows; the last may be of fewer."""
    whole, cols = len(light) // px, light.shape[1]
    out = np.empty((-(-len(light) // px), cols), dtype=np.float32)
    np.add.reduce(light[: whole * px].reshape(whole, px, cols), axis=1, out=out[:whole])  # row after row, as they lie
    if whole < len(out):
        np.add.reduce(light[whole * px :], axis=0, out=out[whole])
    return out
