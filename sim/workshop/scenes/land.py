"""Open ground: a table of heights with clods, stones, ruts and puddles, and the skin of wet earth and rough grass."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.materials import Skin, between, full, mixed, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, normalise

DISTANCE, NORMAL, REST = slice(0, 3), slice(3, 5), slice(5, 7)  # columns of the table that are read together
AT_HAND_M = 0.16
LEAST_M = 0.012


@dataclass(frozen=True, eq=False)
class Land:
    """Ground y = h(x, z): table [ix, iz, 7] of height, ease at hand, ease around, slopes, depth of water, grass.

    `low` is (x, z) of the first cell (m); water is in m (negative = dry), grass 0..1. Ease is the cosine of the steepest
    slope within AT_HAND_M and within a longer way: by it the height above ground is shortened to a safe distance.
    """

    table: F32
    low: tuple[float, float]
    cell_m: float
    _parts: dict[int, F32] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # Columns that are read together lie together in memory: taking from a slice would copy all of it each time.
        rows = self.table.reshape(-1, 7)
        parts = (DISTANCE, NORMAL, REST)
        object.__setattr__(self, "_parts", {part.start: np.ascontiguousarray(rows[:, part]) for part in parts})

    def read(self, p: F32, columns: slice) -> F32:
        """Columns (N, k) of the table at points (3, N), bilinear; beyond the table its edge goes on."""
        nx, nz, _ = self.table.shape
        fx = np.clip((p[0] - np.float32(self.low[0])) / np.float32(self.cell_m), 0, nx - 1.001)
        fz = np.clip((p[2] - np.float32(self.low[1])) / np.float32(self.cell_m), 0, nz - 1.001)
        ix, iz = fx.astype(np.int64), fz.astype(np.int64)
        wx, wz = (fx - ix).astype(np.float32)[:, None], (fz - iz).astype(np.float32)[:, None]
        base = ix * nz + iz
        flat = self._parts[columns.start]
        a, b = flat.take(base, axis=0), flat.take(base + 1, axis=0)
        c, d = flat.take(base + nz, axis=0), flat.take(base + nz + 1, axis=0)
        near = a + (b - a) * wz
        return np.asarray(near + ((c + (d - c) * wz) - near) * wx, np.float32)

    def distance(self, p: F32) -> F32:
        height, at_hand, around = self.read(p, DISTANCE).T
        over = p[1] - height
        safe = np.maximum(over * around, np.minimum(over * at_hand, AT_HAND_M))
        # Flat rays along an edge would never get anywhere: they may step a little way (within a cell) into a bank.
        safe = np.maximum(safe, np.minimum(over * np.float32(0.6), np.float32(LEAST_M)))
        return np.where(over > 0, safe, over * at_hand)

    def normal(self, p: F32) -> F32:
        """Outward normals (3, N) from the tabled slopes."""
        slope = self.read(p, NORMAL)
        return normalise(np.stack([-slope[:, 0], np.ones_like(p[0]), -slope[:, 1]]))

    def box(self) -> tuple[F32, F32]:
        nx, nz, _ = self.table.shape
        heights = self.table[:, :, 0]
        x, z = self.low
        return (
            np.array([x, float(heights.min()) - 0.03, z], np.float32),
            np.array([x + nx * self.cell_m, float(heights.max()) + 0.003, z + nz * self.cell_m], np.float32),
        )


def lay(
    height: F32,
    grass: F32,
    low: tuple[float, float],
    cell_m: float,
    water: F32 | float = -9.0,
    near_m: float = 0.0,
    bare: F32 | None = None,
) -> Land:
    """Make a Land of heights [ix, iz] (m), grass 0..1 and the level of standing water (m; -9 = none).

    `near_m` is how far from a steep place its slope is minded (0 for gentle ground, which gets one ease all over); `bare`
    are the heights without stones, whose steep sides are too small to be minded.
    """
    from scipy.ndimage import minimum_filter

    level = np.broadcast_to(np.asarray(water, np.float32), height.shape)
    depth = level - height
    top = np.maximum(height, level)
    slope_x, slope_z = np.gradient(top, cell_m)
    at_hand = around = np.full(top.shape, 0.78)
    if near_m:
        # On a quarter of the rows and columns: ease need not be exact.
        bare_x, bare_z = np.gradient(height if bare is None else bare, cell_m)
        cosine = 1 / np.sqrt(1 + bare_x**2 + bare_z**2)
        steepest = minimum_filter(cosine, 4)[::4, ::4]
        at_hand, around = (
            np.clip(minimum_filter(steepest, int(reach / cell_m / 2) + 1), 0.18, 0.85)
            .repeat(4, 0)
            .repeat(4, 1)[: top.shape[0], : top.shape[1]]
            for reach in (AT_HAND_M, near_m)
        )
    table = np.stack([top, at_hand, around, slope_x, slope_z, depth, grass], axis=2)
    return Land(table.astype(np.float32), low, cell_m)


def ragged(
    shape: tuple[int, int], cell_m: float, longest_m: float, shortest_m: float, power: float, rng: np.random.Generator
) -> F32:
    """Fractal field [ix, iz] of deviation one: power falling as wave number to -`power` between two wavelengths (m)."""
    from scipy import fft

    kx = np.fft.fftfreq(shape[0], cell_m)[:, None]
    kz = np.fft.rfftfreq(shape[1], cell_m)[None, :]
    k = np.hypot(kx, kz)
    size = np.where(k > 0, np.maximum(k, 1e-6) ** (-power / 2), 0)
    size = size * np.exp(-((k * shortest_m) ** 4)) / (1 + (1 / (np.maximum(k, 1e-6) * longest_m)) ** 4)
    white = fft.rfft2(rng.standard_normal(shape).astype(np.float32))
    out = fft.irfft2(white * size, s=shape)
    return np.asarray(out / out.std(), np.float32)


def strew(
    height: F32,
    low: tuple[float, float],
    cell_m: float,
    spots: npt.NDArray[np.float64],
    rng: np.random.Generator,
) -> None:
    """Press stones or clods into the heights, in place: rows of (x, z, radius m), flattened and half sunk."""
    for x, z, radius in spots:
        reach = int(radius * 1.3 / cell_m) + 2
        i, j = int((x - low[0]) / cell_m), int((z - low[1]) / cell_m)
        if not (reach < i < height.shape[0] - reach and reach < j < height.shape[1] - reach):
            continue
        part = (slice(i - reach, i + reach + 1), slice(j - reach, j + reach + 1))
        u, v = np.meshgrid(np.arange(-reach, reach + 1), np.arange(-reach, reach + 1), indexing="ij")
        turn, flat = rng.uniform(0, np.pi), rng.uniform(0.65, 1.0)
        a = (u * np.cos(turn) + v * np.sin(turn)) * cell_m / radius
        b = (v * np.cos(turn) - u * np.sin(turn)) * cell_m / (radius * flat)
        dome = np.sqrt(np.maximum(1 - a * a - b * b, 0)) * radius * rng.uniform(0.35, 0.75)
        height[part] = np.where(dome > 0, np.maximum(height[part], height[i, j] + dome - 0.15 * radius), height[part])


@dataclass(frozen=True, eq=False)
class Earth:
    """Wet earth, grass and puddles of a Land: mud darkens and shines near the water, grass breaks the tone up."""

    land: Land
    mud: float = 0.10
    grass: float = 0.16
    shine: float = 0.025
    grit_m: float = 1.1e-3
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return 0.5 * (self.mud + self.grass)

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        extra = self.land.read(p, REST)
        depth, cover = extra[:, 0], extra[:, 1]
        patch = noise.stain(p, 2.7, self.shift)
        clod = noise.stain(p, 0.37, self.shift + 1)
        grain = noise.stain(p, 0.075, self.shift + 2)
        _, g = noise.relief(p, 0.09, self.shift + 3)
        _, g_fine = noise.relief(p, 0.028, self.shift + 4)
        # Blades seen from afar are only tone; near tufts are things of their own.
        blade = noise.stain(p, 0.31, self.shift + 5)
        water = between(depth, 0.0, 0.0035)
        damp = between(depth, -0.045, 0.0)
        mud = tone(self.mud, patch * np.float32(0.25) + clod * np.float32(0.3) + grain * np.float32(0.3) - damp * 0.6)
        turf = tone(self.grass, patch * np.float32(0.3) + blade * np.float32(0.55) + clod * np.float32(0.35))
        lie = between(cover + clod * np.float32(0.22) + grain * np.float32(0.12), 0.4, 0.75)
        dry = 1 - water
        slope = (g * np.float32(self.grit_m) + g_fine * np.float32(self.grit_m * 0.3)) * (
            dry * (1 + np.float32(0.8) * lie)
        )
        _, ripple = noise.relief(p, 1.3, self.shift + 6)
        slope += ripple * (np.float32(1.2e-4) * water)
        f0 = mixed(np.float32(self.shine) * (np.float32(0.3) + damp) * (1 - lie), full(p, 0.021), water)
        rough = mixed(np.float32(0.30) - np.float32(0.12) * damp, full(p, 0.004), water)
        shade = mixed(mixed(mud, turf, lie), full(p, 0.03), water * np.float32(0.9))
        return Skin(shade, slope.astype(np.float32), f0, rough, full(p, 0.0))


@dataclass(frozen=True, eq=False)
class Dug:
    """A dug face in an Earth: beds lying nearly level, (height m, reflectance) from below upward, wherever it is steep."""

    earth: Earth
    beds: tuple[tuple[float, float], ...]
    dip: float = 0.03

    @property
    def mean_reflectance(self) -> float:
        return self.earth.mean_reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        base = self.earth.skin(p, n, noise)
        broad = noise.stain(p, 4.2, 21)
        rough = noise.stain(p, 0.6, 22)
        fine = noise.stain(p, 0.13, 23)
        _, g = noise.relief(p, 0.21, 24)
        level = p[1] + np.float32(self.dip) * p[0] + broad * np.float32(0.10) + rough * np.float32(0.035)
        heights = np.array([h for h, _ in self.beds], np.float32)
        bed = np.interp(level, heights, np.log2([r for _, r in self.beds])).astype(np.float32)
        lines = noise.stain(p * np.float32(1) + broad * np.float32(0.05), 0.9, 25, stretch=(9.0, 0.55, 9.0))
        run = noise.stain(p, 0.8, 26, stretch=(0.6, 6.0, 0.6))
        stops = lines * np.float32(0.22) + rough * np.float32(0.22) + fine * np.float32(0.2) + run * np.float32(0.11)
        face = tone(1.0, bed + stops)
        steep = between(-n[1] + rough * np.float32(0.05), -0.86, -0.62)
        slope = base.slope + g * (np.float32(2.5e-3) * steep)
        return Skin(
            mixed(base.reflectance, face, steep),
            slope.astype(np.float32),
            base.f0 * (1 - steep),
            base.rough,
            full(p, 0.0),
        )
