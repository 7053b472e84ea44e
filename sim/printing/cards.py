"""What a card does to the light: shadow, penumbra, motion and wire, as the share of the time each point is lit.

A tool at height h above the paper, lens to paper v, throws a shadow v/(v-h) times its size, with an edge as wide as
``d h / (v-h)`` for a lens pupil d (similar triangles). Averaging over the exposure, a moved card is its shape, smeared by
the round pupil and by where it spent its time: two convolutions, done exactly by Fourier transform.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from sim.bands import bands, read_between
from sim.enlarger.easel import SheetGrid
from sim.enlarger.focus import geometric_transfer
from sim.enlarger.settings import Bench, checked_aperture
from sim.printing.patch import Patch, around
from sim.printing.record import Card, Circling, Path, Still, Sweeping
from sim.quantities import Float32Array, FloatArray
from sim.refusals import Refused

MOTION_SAMPLES = 512
HIGHEST_CARD = 0.98  # of the way from paper to lens: any higher it would touch the lens


@dataclass(frozen=True)
class CardOptics:
    """What the shadow depends on besides the card: lens to paper and the diameter of the lens pupil, mm."""

    lens_to_paper_mm: float
    pupil_mm: float

    def shadow_scale(self, card_height_mm: float) -> float:
        """Return shadow size over card size. Raises Refused when the card is not between paper and lens."""
        if card_height_mm >= self.lens_to_paper_mm * HIGHEST_CARD:
            raise Refused(
                f"card_height_mm must be below the lens at {self.lens_to_paper_mm:.0f} mm, got {card_height_mm:g}"
            )
        return self.lens_to_paper_mm / (self.lens_to_paper_mm - card_height_mm)

    def penumbra_mm(self, card_height_mm: float) -> float:
        """Return the full width of the soft edge."""
        self.shadow_scale(card_height_mm)
        return self.pupil_mm * card_height_mm / (self.lens_to_paper_mm - card_height_mm)


def card_optics(bench: Bench, f_number: float) -> CardOptics:
    """Return what a card's shadow depends on at an engraved aperture. Raises SettingsRefused for one the lens lacks."""
    return CardOptics(bench.lens_to_paper_mm, bench.lens.focal_mm / checked_aperture(bench.lens, f_number))


@dataclass(frozen=True, eq=False)
class Dwell:
    """Where a shadow's centre spends its time: positions in mm and the share of the time at each (sum 1)."""

    x_mm: FloatArray
    y_mm: FloatArray
    share: FloatArray


def path_mm(card: Card, start_s: float, stop_s: float) -> Dwell:
    """Return where a shadow's centre spends its time between two moments of the exposure."""
    motion = card.motion
    if isinstance(motion, Still):
        return Dwell(np.array([motion.x_mm]), np.array([motion.y_mm]), np.ones(1))
    if isinstance(motion, Path):
        return _on_path(np.array(motion.points), start_s, stop_s)
    even = np.full(MOTION_SAMPLES, 1.0 / MOTION_SAMPLES)
    t = start_s + (np.arange(MOTION_SAMPLES) + 0.5) / MOTION_SAMPLES * (stop_s - start_s)
    turn = 2.0 * np.pi * t / motion.period_s
    if isinstance(motion, Circling):
        along_x, along_y = motion.amplitude_mm * np.cos(turn), motion.amplitude_mm * np.sin(turn)
        return Dwell(motion.x_mm + along_x, motion.y_mm + along_y, even)
    assert isinstance(motion, Sweeping)
    along = motion.amplitude_mm * 2.0 / np.pi * np.arcsin(np.sin(turn))  # even speed to and fro
    angle = np.radians(motion.angle_deg)
    return Dwell(motion.x_mm + along * np.cos(angle), motion.y_mm + along * np.sin(angle), even)


def _on_path(points: FloatArray, start_s: float, stop_s: float) -> Dwell:
    """Return the dwell of a recorded path; two points at one moment are a jump.

    Every piece between two points is sampled for itself, so that a card that jumps (a covered strip) stands at each of its
    places for exactly its time.
    """
    before, after = (np.inf, *points[-1, 1:]), (-np.inf, *points[0, 1:])
    stops = np.vstack([after, points, before])  # the card waits at its first point and stays at its last
    pieces = []
    for (t0, x0, y0), (t1, x1, y1) in itertools.pairwise(stops):
        low, high = max(t0, start_s), min(t1, stop_s)
        if high <= low:
            continue
        moves = (x0, y0) != (x1, y1)
        count = max(1, int(np.ceil(MOTION_SAMPLES * (high - low) / (stop_s - start_s)))) if moves else 1
        part = ((low + (np.arange(count) + 0.5) / count * (high - low)) - t0) / (t1 - t0) if moves else np.zeros(1)
        share = np.full(count, (high - low) / (stop_s - start_s) / count)
        pieces.append((x0 + part * (x1 - x0), y0 + part * (y1 - y0), share))
    x, y, share = (np.concatenate(column) for column in zip(*pieces, strict=True))
    return Dwell(x, y, share)


def edge_profile(across_mm: FloatArray, penumbra_mm: float) -> FloatArray:
    """Return the covered share across a straight edge (0 far on the open side, 1 far inside).

    For a round pupil: ``1/2 + (t sqrt(1-t**2) + asin t)/pi`` with t = 2x/penumbra (standard geometry).
    """
    t = np.clip(2.0 * np.asarray(across_mm) / max(penumbra_mm, 1e-6), -1.0, 1.0)
    return np.asarray(0.5 + (t * np.sqrt(1.0 - t * t) + np.arcsin(t)) / np.pi)


def covered_share(card: Card, grid: SheetGrid, optics: CardOptics, start_s: float, stop_s: float) -> Float32Array:
    """Return the share of the time, between two moments, that the card keeps each point dark: [row, col], 0 to 1."""
    return _covered(card, grid, optics, start_s, stop_s).whole


def _covered(card: Card, grid: SheetGrid, optics: CardOptics, start_s: float, stop_s: float) -> Patch:
    """Return the same, worked out only where the shadow's edge is."""
    dwell = path_mm(card, start_s, stop_s)
    if card.shape == "edge":
        shade = _edge_share(card, grid, optics, dwell)
    else:
        shade = _shape_share(card, grid, optics, dwell)
        if card.wire_mm and card.lets_through == "outside":
            wire = _wire_share(card, grid, optics, dwell)
            box = around((shade.box, wire.box))
            shade = Patch(shade.shape, box, np.maximum(shade.within(box), wire.within(box)), 0.0)
    if card.lets_through == "outside":
        return shade
    return Patch(shade.shape, shade.box, np.float32(1.0) - shade.inside, 1.0 - shade.beyond)


def shaded_share_at(card: Card, x_mm: float, y_mm: float, start_s: float, stop_s: float) -> float:
    """Return the share of the time, between two moments, that a card lying on the paper keeps one point dark.

    Edges are taken as sharp and the card as lying on the paper: for cardboard over a strip, and for telling what lies
    where. Prints use ``covered_share``.
    """
    dwell = path_mm(card, start_s, stop_s)
    if card.shape == "edge":
        angle = np.radians(card.angle_deg)
        inside = (x_mm - dwell.x_mm) * np.cos(angle) + (y_mm - dwell.y_mm) * np.sin(angle) > 0.0
    else:
        inside = _signed_distance(card, x_mm - dwell.x_mm, y_mm - dwell.y_mm, 1.0) <= 0.0  # an oval's middle is told as nil
    dark = inside if card.lets_through == "outside" else ~inside
    return float(dwell.share[dark].sum())


def _profile_table(
    positions: FloatArray, share: FloatArray, penumbra_mm: float, low: float, high: float, pixel_mm: float
) -> tuple[FloatArray, FloatArray]:
    """Return distances and the covered share of an edge that spent shares of its time at the given positions."""
    soft = max(penumbra_mm, 0.5 * pixel_mm)  # a pixel is an area: an edge finer than it must not alias
    stands, which = np.unique(positions, return_inverse=True)
    time = np.bincount(which, weights=share)
    finely = 64 if len(stands) <= 32 else 8  # an edge that stood still shows every kink of its table; a moved one does not
    count = int(min(max(256, finely * (high - low) / soft), 20000))
    across = np.linspace(low, high, count)
    total = np.zeros(count)
    first, last = np.searchsorted(across, (stands[0] - 0.5 * soft, stands[-1] + 0.5 * soft))
    total[last:] = time.sum()  # all beyond is covered the whole time
    for part in np.array_split(np.arange(len(stands)), max(1, len(stands) // 64)):
        total[first:last] += time[part] @ edge_profile(across[None, first:last] - stands[part][:, None], soft)
    return across, total


def _ends_across(grid: SheetGrid, nx: float, ny: float) -> tuple[float, float]:
    """Return how far a direction reaches over the whole sheet, and a little beyond, from the corner of a piece of it."""
    sheet, (left, top) = grid.whole or grid, grid.corner_mm
    x, y = sheet.x_mm[[0, -1]] - left, sheet.y_mm[[0, -1]] - top
    across = x[None, :] * nx + y[:, None] * ny
    return float(across.min()) - 1, float(across.max()) + 1


def _edge_share(card: Card, grid: SheetGrid, optics: CardOptics, dwell: Dwell) -> Patch:
    """An edge covers everything on the side its angle points to (0 = to the right, 90 = below)."""
    angle = np.radians(card.angle_deg)
    nx, ny = np.cos(angle), np.sin(angle)
    penumbra = optics.penumbra_mm(card.card_height_mm)
    low, high = _ends_across(grid, nx, ny)
    positions = dwell.x_mm * nx + dwell.y_mm * ny
    table = _profile_table(positions, dwell.share, penumbra, low, high, 1.0 / grid.px_per_mm)
    box = (slice(0, grid.rows), slice(0, grid.cols))
    return Patch((grid.rows, grid.cols), box, _read_across(table, grid.x_mm * nx, grid.y_mm * ny), 0.0)


def _read_across(table: tuple[FloatArray, FloatArray], along_x: FloatArray, along_y: FloatArray) -> Float32Array:
    """Return a table over even distances read at the sum of two, one of every column and one of every row: [row, col]."""
    across, values = table
    per_step = (len(across) - 1) / (across[-1] - across[0])
    col, row = ((along_x - across[0]) * per_step).astype(np.float32), (along_y * per_step).astype(np.float32)
    value = values.astype(np.float32)
    rise = np.append(np.diff(value), np.float32(0.0))
    out = np.empty((len(row), len(col)), dtype=np.float32)
    for band in bands(out.shape):
        step = row[band, None] + col[None, :]
        np.clip(step, 0.0, len(across) - 1, out=step)
        read_between(value, rise, step)
        out[band] = step
    return out


def _wire_share(card: Card, grid: SheetGrid, optics: CardOptics, dwell: Dwell) -> Patch:
    """The wire runs from the card's centre outwards; thin and high, it is mostly penumbra."""
    angle = np.radians(card.wire_towards_deg)
    nx, ny = np.cos(angle), np.sin(angle)
    mean_x, mean_y = float(dwell.x_mm @ dwell.share), float(dwell.y_mm @ dwell.share)
    positions = -dwell.x_mm * ny + dwell.y_mm * nx
    half = 0.5 * card.wire_mm * optics.shadow_scale(card.card_height_mm)
    penumbra = optics.penumbra_mm(card.card_height_mm)
    low, high = _ends_across(grid, -ny, nx)
    distance, left = _profile_table(positions - half, dwell.share, penumbra, low, high, 1.0 / grid.px_per_mm)
    _, right = _profile_table(positions + half, dwell.share, penumbra, low, high, 1.0 / grid.px_per_mm)
    wide_mm = float(np.ptp(positions)) + half + penumbra + 2.0 / grid.px_per_mm
    rows, cols = _around_ray(grid, (mean_x, mean_y), (float(nx), float(ny)), wide_mm)
    x, y = grid.x_mm[cols], grid.y_mm[rows]
    share = _read_across((distance, left - right), -x * ny, y * nx)
    share *= ((x - mean_x) * nx)[None, :] + ((y - mean_y) * ny)[:, None] > 0.0
    return Patch((grid.rows, grid.cols), (rows, cols), share, 0.0)


def _around_ray(
    grid: SheetGrid, start_mm: tuple[float, float], direction: tuple[float, float], wide_mm: float
) -> tuple[slice, slice]:
    """Return the rows and columns of a sheet that hold a ray and what lies within a width of it."""
    spans = []
    for points, start, step in zip((grid.y_mm, grid.x_mm), start_mm[::-1], direction[::-1], strict=True):
        low = start - wide_mm if step > -1e-9 else -np.inf
        high = start + wide_mm if step < 1e-9 else np.inf
        spans.append(slice(int(np.searchsorted(points, low)), int(np.searchsorted(points, high))))
    return spans[0], spans[1]


def _signed_distance(card: Card, x: FloatArray, y: FloatArray, scale: float) -> FloatArray:
    """Return mm outside (+) or inside (-) the card's shadow outline around its centre."""
    angle = np.radians(card.angle_deg)
    u = (x * np.cos(angle) + y * np.sin(angle)) / scale
    v = (-x * np.sin(angle) + y * np.cos(angle)) / scale
    half_w, half_l = card.width_mm / 2, card.length_mm / 2
    if card.shape == "disc":
        return np.asarray(scale * (np.hypot(u, v) - half_w))
    if card.shape == "oval":
        k = np.hypot(u / half_w, v / half_l)
        slope = np.hypot(u / half_w**2, v / half_l**2)
        return np.asarray(scale * k * (k - 1.0) / np.maximum(slope, 1e-9))  # first-order distance, exact near the edge
    if card.shape == "bar":
        du, dv = np.abs(u) - half_w, np.abs(v) - half_l
        return np.asarray(scale * (np.hypot(np.maximum(du, 0), np.maximum(dv, 0)) + np.minimum(np.maximum(du, dv), 0)))
    return scale * _polygon_distance(np.array(card.outline), u, v)


def _polygon_distance(points: FloatArray, u: FloatArray, v: FloatArray) -> FloatArray:
    """Return signed distance to a polygon: nearest edge, sign by counting crossings."""
    best = np.full(u.shape, np.inf)
    inside = np.zeros(u.shape, dtype=bool)
    for (ax, ay), (bx, by) in zip(points, np.roll(points, -1, axis=0), strict=True):
        ex, ey = bx - ax, by - ay
        length = max(ex * ex + ey * ey, 1e-12)
        t = np.clip(((u - ax) * ex + (v - ay) * ey) / length, 0.0, 1.0)
        best = np.minimum(best, np.hypot(u - ax - t * ex, v - ay - t * ey))
        if ay != by:
            inside ^= ((ay > v) != (by > v)) & (u < (bx - ax) * (v - ay) / (by - ay) + ax)
    return np.where(inside, -best, best)


def _half_size_mm(card: Card, scale: float) -> float:
    if card.shape == "outline":
        return scale * float(np.abs(np.array(card.outline)).max()) * 1.5
    sides = (card.width_mm, card.width_mm) if card.shape == "disc" else (card.width_mm, card.length_mm)
    return scale * 0.5 * float(np.hypot(*sides) if card.shape == "bar" else max(sides))


def _shape_share(card: Card, grid: SheetGrid, optics: CardOptics, dwell: Dwell) -> Patch:
    """Average a closed shape over pupil and path on a local raster, then lay it on the sheet."""
    from scipy import fft

    scale = optics.shadow_scale(card.card_height_mm)
    penumbra = optics.penumbra_mm(card.card_height_mm)
    xs, ys = dwell.x_mm, dwell.y_mm
    half, soft = _half_size_mm(card, scale) + penumbra / 2 + 2.0, penumbra / 2 + 2.0
    cx, cy = (xs.min() + xs.max()) / 2, (ys.min() + ys.max()) / 2
    travel_x, travel_y = (xs.max() - xs.min()) / 2, (ys.max() - ys.min()) / 2
    sheet, (corner_x, corner_y) = grid.whole or grid, grid.corner_mm
    across = _Reach(half, soft, travel_x, -corner_x - cx, sheet.width_mm)
    down = _Reach(half, soft, travel_y, -corner_y - cy, sheet.height_mm)
    if across.length_mm <= 0.0 or down.length_mm <= 0.0:
        return _nothing_covered(grid)
    pitch = max(1.0 / grid.px_per_mm, penumbra / 10.0, (across.length_mm + down.length_mm) / 6000.0)
    (col, cols, beside), (row, rows, above) = across.steps(pitch, -cx, grid.width_mm), down.steps(pitch, -cy, grid.height_mm)
    if cols <= 0 or rows <= 0:
        return _nothing_covered(grid)
    shape = (fft.next_fast_len(rows + 2 * above, real=True), fft.next_fast_len(cols + 2 * beside, real=True))
    x, y = across.at(pitch, col - beside + np.arange(shape[1])), down.at(pitch, row - above + np.arange(shape[0]))
    raster = np.clip(0.5 - _signed_distance(card, x[None, :], y[:, None], scale) / pitch, 0.0, 1.0)
    frequency = np.hypot(fft.fftfreq(shape[0], pitch)[:, None], fft.rfftfreq(shape[1], pitch)[None, :])
    spectrum = np.asarray(fft.rfft2(raster) * geometric_transfer(frequency, penumbra), dtype=np.complex128)
    if len(xs) > 1:
        spectrum = spectrum * fft.rfft2(_kernel(xs - cx, ys - cy, dwell.share, shape, pitch))
    share = fft.irfft2(spectrum, shape)[above : above + rows, beside : beside + cols]
    middle = (across.at(pitch, col + (cols - 1) / 2), down.at(pitch, row + (rows - 1) / 2))
    return _laid_on_sheet(np.clip(share, 0.0, 1.0), grid, cx + float(middle[0]), cy + float(middle[1]), pitch)


@dataclass(frozen=True)
class _Reach:
    """How far a card's shadow is worked out along one axis, in mm from the middle of its way.

    As far as shadow and way go, and of a large card only where the sheet is, and as far beyond as pupil and way reach.
    """

    half_mm: float
    soft_mm: float
    travel_mm: float
    sheet_from_mm: float
    sheet_mm: float

    @property
    def ends_mm(self) -> tuple[float, float]:
        """First and last point."""
        beyond = self.soft_mm + self.travel_mm
        low = max(-self.half_mm - self.travel_mm, self.sheet_from_mm - beyond)
        return low, min(self.half_mm + self.travel_mm, self.sheet_from_mm + self.sheet_mm + beyond)

    @property
    def length_mm(self) -> float:
        """From the first point to the last (0 or less: the shadow does not reach the sheet)."""
        return self.ends_mm[1] - self.ends_mm[0]

    def _count(self, pitch: float) -> int:
        return int(np.ceil(self.length_mm / pitch)) + 5

    def at(self, pitch: float, step: FloatArray | float) -> FloatArray:
        """Return points by their number on the whole sheet's raster, which every piece of the sheet shares."""
        return np.asarray(sum(self.ends_mm) / 2 + (step - (self._count(pitch) - 1) / 2) * pitch)

    def steps(self, pitch: float, piece_from_mm: float, piece_mm: float) -> tuple[int, int, int]:
        """Return the first step that a piece of the sheet needs, how many, and how many more to work out on either side.

        A Fourier transform goes round: what the way carries out at one end comes in at the other. So the shadow is worked
        out as far beyond what is needed as it is carried, unless all of it lies inside.
        """
        count, first = self._count(pitch), self.at(pitch, 0.0)
        low = max(int(np.floor((piece_from_mm - self.soft_mm - first) / pitch)), 0)
        high = min(int(np.ceil((piece_from_mm + piece_mm + self.soft_mm - first) / pitch)) + 1, count)
        whole = self.half_mm + self.travel_mm
        if (low, high) == (0, count) and self.ends_mm == (-whole, whole):
            return 0, count, 0
        return low, high - low, int(np.ceil((self.travel_mm + self.soft_mm) / pitch)) + 2


def _kernel(dx: FloatArray, dy: FloatArray, share: FloatArray, shape: tuple[int, int], pitch: float) -> FloatArray:
    """Return where a path spends its time as a kernel around index 0 (wrapped), by bilinear weights; sum 1."""
    kernel = np.zeros(shape)
    col, row = dx / pitch, dy / pitch
    low_c, low_r = np.floor(col).astype(int), np.floor(row).astype(int)
    for step_r in (0, 1):
        for step_c in (0, 1):
            weight = np.abs(1 - step_r - (row - low_r)) * np.abs(1 - step_c - (col - low_c))
            np.add.at(kernel, ((low_r + step_r) % shape[0], (low_c + step_c) % shape[1]), weight * share)
    return kernel


def _nothing_covered(grid: SheetGrid) -> Patch:
    return Patch((grid.rows, grid.cols), (slice(0, 0), slice(0, 0)), np.zeros((0, 0), dtype=np.float32), 0.0)


def _laid_on_sheet(share: FloatArray, grid: SheetGrid, cx: float, cy: float, pitch: float) -> Patch:
    """Return a local raster centred at (cx, cy) mm, on the sheet's points; nothing is covered beyond it."""
    rows, cols = share.shape
    col = (grid.x_mm - cx) / pitch + (cols - 1) / 2
    row = (grid.y_mm - cy) / pitch + (rows - 1) / 2
    c = np.flatnonzero((col > 0) & (col < cols - 1))
    r = np.flatnonzero((row > 0) & (row < rows - 1))
    if not (c.size and r.size):
        return _nothing_covered(grid)
    box = (slice(int(r[0]), int(r[-1]) + 1), slice(int(c[0]), int(c[-1]) + 1))
    wide = _between(share.astype(np.float32).T, col[box[1]]).T  # few rows: across first
    return Patch((grid.rows, grid.cols), box, _between(wide, row[box[0]]), 0.0)


def _between(picture: Float32Array, position: FloatArray) -> Float32Array:
    """Return a picture's rows read at positions between them, linearly."""
    picture = np.ascontiguousarray(picture)
    low = np.minimum(position.astype(np.intp), len(picture) - 2)
    part = (position - low).astype(np.float32)
    rise = np.diff(picture, axis=0)
    out = np.empty((len(position), picture.shape[1]), dtype=np.float32)
    for band in bands(out.shape):
        near = rise.take(low[band], axis=0)
        near *= part[band, None]
        near += picture.take(low[band], axis=0)
        out[band] = near
    return out


def lit_share(cards: tuple[Card, ...], grid: SheetGrid, optics: CardOptics, time_s: float) -> Patch | None:
    """Return the share of an exposure that each point is lit, or None when no card is in the light.

    The exposure is cut where a card comes or goes; within a piece the cards' shares multiply (exact where at most one
    card moves over a point), and the pieces add.
    """
    if not cards:
        return None
    moments = {0.0, time_s}
    for card in cards:
        moments |= {min(card.start_s, time_s), min(card.stop_s or time_s, time_s)}
    shares = []
    for start_s, stop_s in itertools.pairwise(sorted(moments)):
        there = [card for card in cards if card.start_s <= start_s and (card.stop_s or time_s) >= stop_s]
        covered = [_covered(card, grid, optics, start_s, stop_s) for card in there]
        shares.append(((stop_s - start_s) / time_s, covered))
    box = around(one.box for _, covered in shares for one in covered)
    lit, beyond = np.zeros(tuple(side.stop - side.start for side in box), dtype=np.float32), 0.0
    for weight, covered in shares:
        open_share, open_beyond = np.full(lit.shape, np.float32(weight)), weight
        for one in covered:
            open_share *= np.float32(1.0) - one.within(box)
            open_beyond *= 1.0 - one.beyond
        lit += open_share
        beyond += open_beyond
    return Patch((grid.rows, grid.cols), box, np.clip(lit, 0.0, 1.0, out=lit), min(max(beyond, 0.0), 1.0))
