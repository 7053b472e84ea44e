"""Stains and relief: two periodic volumes of fractal noise made once by Fourier synthesis.

`stain` is rough (power falling as k^-3.6, chosen by eye: it looks like mineral stains) and is read for tone. `relief`
is smooth (band-limited) and is stored with its gradient, because a slope taken by differences from interpolated
values is constant within a cell and shows as facets in a glaze. Every look-up turns the point first, so that no two
materials and no two scales repeat along the same axis.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.sdf import F32

Cells = npt.NDArray[np.int64]
STAIN_CELLS = 128
RELIEF_CELLS = 64
# An irrational-looking rotation (any will do): keeps the period of the volume off the axes of walls and boards.
_TURN = np.array([[0.8047, 0.3106, -0.5060], [-0.5059, 0.8047, -0.3107], [0.3107, 0.5060, 0.8047]], np.float32)


def _synthesise(cells: int, power: float, low: float, high: float, rng: np.random.Generator) -> list[F32]:
    """One field of unit variance and its three slopes per cell, each (cells, cells, cells)."""
    from scipy import fft

    full = np.fft.fftfreq(cells, 1 / cells)
    kx, ky, kz = np.meshgrid(full, full, np.arange(cells // 2 + 1), indexing="ij", sparse=True)
    k = np.sqrt(kx * kx + ky * ky + kz * kz)
    amplitude = np.where(k > 0, np.maximum(k, 1.0) ** (-power / 2), 0) / (1 + (low / np.maximum(k, 0.5)) ** 4)
    amplitude *= np.exp(-((k / high) ** 4))
    spectrum = fft.rfftn(rng.standard_normal((cells,) * 3, dtype=np.float32)) * amplitude.astype(np.float32)
    field = fft.irfftn(spectrum, s=(cells,) * 3)
    scale = 1 / float(field.std())
    turn = 2j * np.pi / cells
    slopes = [fft.irfftn(spectrum * (turn * axis), s=(cells,) * 3) for axis in (kx, ky, kz)]
    return [np.asarray(f * scale, np.float32) for f in (field, *slopes)]


@dataclass(frozen=True, eq=False)
class Noise:
    """The two volumes: `stain_volume` (STAIN_CELLS^3,) and `relief_volume` (RELIEF_CELLS^3, 4: value and slopes)."""

    stain_volume: F32
    relief_volume: F32

    @staticmethod
    def make(seed: int) -> "Noise":
        """Fill both volumes from one seed (PCG64)."""
        rng = np.random.Generator(np.random.PCG64(seed))
        stain = _synthesise(STAIN_CELLS, 3.6, 1.5, STAIN_CELLS * 0.45, rng)[0]
        relief = _synthesise(RELIEF_CELLS, 3.2, 3.0, 13.0, rng)
        return Noise(stain.ravel(), np.stack([f.ravel() for f in relief], axis=1))

    def stain(
        self, p: F32, period_m: float, shift: float = 0.0, stretch: tuple[float, float, float] | None = None
    ) -> F32:
        """Rough noise, mean 0 and deviation 1, at points (3, N) in metres; features from the period down to 1/60 of it.

        `stretch` draws the pattern out along an axis (grain of wood: 15 along the board); the rotation is then left out.
        """
        if stretch is None:
            q = (_TURN @ p) * np.float32(STAIN_CELLS / period_m)
        else:
            q = p * (np.float32(STAIN_CELLS / period_m) / np.array(stretch, np.float32)[:, None])
        q = q + np.float32(17.31 * shift)
        corner, fraction = _corners(q, STAIN_CELLS)
        fx, fy, fz = fraction
        value: F32 | None = None
        for index in range(8):
            ix, iy, iz = index >> 2, (index >> 1) & 1, index & 1
            weight = (fx if ix else 1 - fx) * (fy if iy else 1 - fy) * (fz if iz else 1 - fz)
            cell = (corner[0][ix] + corner[1][iy]) + corner[2][iz]
            part = weight * self.stain_volume.take(cell)
            value = part if value is None else value + part
        assert value is not None
        return value

    def relief(self, p: F32, period_m: float, shift: float = 0.0) -> tuple[F32, F32]:
        """Smooth noise (N,) of deviation 1 and its slope (3, N) per metre; features about 1/3 to 1/12 of the period."""
        scale = np.float32(RELIEF_CELLS / period_m)
        q = (_TURN.T @ p) * scale + np.float32(11.77 * shift)
        corner, fraction = _corners(q, RELIEF_CELLS)
        fx, fy, fz = fraction
        rows: F32 | None = None
        for index in range(8):
            ix, iy, iz = index >> 2, (index >> 1) & 1, index & 1
            weight = (fx if ix else 1 - fx) * (fy if iy else 1 - fy) * (fz if iz else 1 - fz)
            cell = (corner[0][ix] + corner[1][iy]) + corner[2][iz]
            part = self.relief_volume.take(cell, axis=0) * weight[:, None]
            rows = part if rows is None else rows + part
        assert rows is not None
        slope = (_TURN @ rows[:, 1:4].T) * scale
        return np.ascontiguousarray(rows[:, 0]), np.ascontiguousarray(slope)


def _corners(q: F32, cells: int) -> tuple[list[tuple[Cells, Cells]], F32]:
    """Flat-index parts of lower and upper neighbour per axis (wrapped), and fractions."""
    low = np.floor(q)
    fraction = q - low
    cell = low.astype(np.int64)
    mask = cells - 1
    strides = (cells * cells, cells, 1)
    corner = [((cell[i] & mask) * strides[i], ((cell[i] + 1) & mask) * strides[i]) for i in range(3)]
    return corner, fraction
