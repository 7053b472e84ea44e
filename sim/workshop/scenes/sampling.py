"""Even sampling: blue-noise offsets per pixel and a low-discrepancy sequence per pass."""

import numpy as np

from sim.workshop.scenes.sdf import F32

TILE_PX = 64


def blue_offsets(seed: int, count: int, cells: int = TILE_PX) -> F32:
    """`count` fields (count, cells, cells) of offsets in 0..1 whose neighbours differ strongly, wrapping at the edges.

    White noise is high-passed and ranked back to an even spread, a few times over (after the idea of ordered dither with
    blue noise; the method is our own and approximate). Errors of neighbouring pixels then cancel in the denoising.
    """
    rng = np.random.Generator(np.random.PCG64([seed, 77]))
    k = np.fft.fftfreq(cells)
    high_pass = 1 - np.exp(-(k[:, None] ** 2 + k[None, :] ** 2) / (2 * 0.19**2))
    out = np.empty((count, cells, cells), np.float32)
    for i in range(count):
        field = rng.random((cells, cells))
        for _ in range(10):
            field = np.fft.ifft2(np.fft.fft2(field) * high_pass).real
            rank = np.empty(cells * cells)
            rank[np.argsort(field.ravel(), kind="stable")] = np.arange(cells * cells)
            field = (rank.reshape(cells, cells) + 0.5) / (cells * cells)
        out[i] = field
    return out


def sequence(passes: int, pairs: int, seed: int) -> F32:
    """Points (passes, 2 * pairs) in 0..1: for each pair of dimensions the best rank-one lattice, reordered.

    A lattice of exactly `passes` points has that many different values along each axis, so that edges are rendered in
    that many even steps; an additive recurrence has only four or so. Reordering keeps the pairs independent.
    """
    base = _lattice(passes)
    rng = np.random.Generator(np.random.PCG64([seed, 78]))
    order = [np.arange(passes)] + [rng.permutation(passes) for _ in range(pairs - 1)]
    return np.concatenate([base[o] for o in order], axis=1).astype(np.float32)


def _lattice(points: int) -> F32:
    """Points (i / n, i g / n mod 1), with the g whose nearest neighbours (wrapping) lie farthest apart."""
    i = np.arange(points)
    best, best_gap = 1, -1.0
    for g in range(1, points):
        if np.gcd(g, points) != 1:
            continue
        dx = np.minimum(i[1:], points - i[1:]) / points
        dy = (i[1:] * g) % points
        gap = float(np.min(dx**2 + (np.minimum(dy, points - dy) / points) ** 2)) if points > 1 else 0.0
        if gap > best_gap:
            best, best_gap = g, gap
    return np.stack([(i + 0.5) / points, ((i * best) % points + 0.5) / points], axis=1).astype(np.float32)


def around_normal(n: F32, u: F32) -> F32:
    """Directions (3, N) spread as the cosine about unit normals (3, N), from u (2, N) in 0..1."""
    side, up = tangents(n)
    radius = np.sqrt(u[0])
    turn = u[1] * np.float32(2 * np.pi)
    height = np.sqrt(np.maximum(1 - u[0], 0))
    return np.asarray(side * (radius * np.cos(turn)) + up * (radius * np.sin(turn)) + n * height)


def tangents(n: F32) -> tuple[F32, F32]:
    """Two unit vectors (3, N) square to each other and to n (branch-free construction)."""
    sign = np.where(n[2] >= 0, np.float32(1), np.float32(-1))
    a = -1 / (sign + n[2])
    b = n[0] * n[1] * a
    side = np.stack([1 + sign * n[0] * n[0] * a, sign * b, -sign * n[0]])
    up = np.stack([b, sign + n[1] * n[1] * a, -n[1]])
    return side, up


def sphere_directions(count: int) -> F32:
    """Directions (3, count) spread evenly over the sphere (Fibonacci spiral)."""
    i = np.arange(count) + 0.5
    z = 1 - 2 * i / count
    turn = np.pi * (1 + 5**0.5) * i
    r = np.sqrt(1 - z * z)
    return np.stack([r * np.cos(turn), r * np.sin(turn), z]).astype(np.float32)
