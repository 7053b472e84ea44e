"""Where rows of steps lie in a flatbed scan, found by their edges: the grey scale and every strip, leaning a little or not.

Rows lie one beside the other, all the same way, something dark behind them, so that their white ends show. Each row's steps
are found as a comb: edges of one direction at one pitch. Where it begins is told by the white end, which is the wedge's dense
end: beyond it the paper is black, or what lies behind it. Whatever does not fit is refused: a comb that is one step off would
be worse than none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

import numpy as np
from numpy.typing import NDArray

from sim.calibration.flatbed_strips import Patchwork
from sim.quantities import FloatArray
from sim.refusals import Refused

LOOKED_AT_PX = 1800  # the longer side as it is searched
LEANS_DEG = 8.0  # by which rows may lean
TONES_OF_A_ROW = 0.35  # of the scale 0 to 1 (cube root of light) between the light and the dark parts of a row of steps
LEAST_ROW_PX, LEAST_PITCH_PX = 10, 5.0
END_SHOWS = 0.15  # of the same scale: so far the white end must stand out from what lies beyond it
EDGE_SHOWS = 0.0035  # change a pixel, or six times what noise makes
FEWEST_EDGES = 5
FEWEST_OF_A_KNOWN_LENGTH = 2  # beside a strip of the same wedge whose edges say how long steps are: grade 5 shows few more
OFF_THE_COMB = 0.2  # of a step: an edge further off belongs to something else
ILL_FITTING, END_OFF = 0.08, 0.25  # of a step: rms of the edges, and the white end against the comb
UNLIKE = 0.06  # of the scale 0 to 1: how far a row of pixels may be from the middle of its row of steps
MOST_ODD = 0.25  # share of the edges that may belong to something else


@dataclass(frozen=True, eq=False)
class _Picture:
    """A picture and where its pixels (x, y, 1) lie on the scan as it was reduced."""

    tone: FloatArray
    to_scan: FloatArray

    def turned(self, degrees: float) -> _Picture:
        """Return the picture turned about its middle so that what leans by so much lies straight."""
        from scipy.ndimage import affine_transform

        rows, cols = self.tone.shape
        cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        x, y = (cols - 1) / 2, (rows - 1) / 2
        turn = np.array([[cos, -sin, x - cos * x + sin * y], [sin, cos, y - sin * x - cos * y], [0.0, 0.0, 1.0]])
        matrix = np.array([[cos, sin], [-sin, cos]])
        tone = affine_transform(self.tone, matrix, [turn[1, 2], turn[0, 2]], order=1, mode="nearest")
        return _Picture(tone, self.to_scan @ turn)

    def rows(self, first: int, last: int) -> _Picture:
        """Return the rows from ``first`` up to ``last``."""
        first = max(first, 0)
        moved = np.eye(3)
        moved[1, 2] = first
        return _Picture(self.tone[first:last], self.to_scan @ moved)

    def lean_deg(self) -> float:
        """Return by how much edges lean, all together, within 45 degrees either way."""
        from scipy.ndimage import gaussian_filter

        across, down = gaussian_filter(self.tone, 1.5, (0, 1)), gaussian_filter(self.tone, 1.5, (1, 0))
        strength = across**2 + down**2
        strength[strength < np.percentile(strength, 90)] = 0.0
        return float(np.degrees(np.angle(np.sum(strength * np.exp(4j * np.arctan2(down, across)))) / 4.0))


def found_rows(
    picture: NDArray[Any], names: Sequence[str], steps: Sequence[int], one_wedge: Sequence[str] = ()
) -> tuple[Patchwork, ...]:
    """Return where rows of so many steps lie, in the order they lie in: from the top down, or from left to right.

    ``names`` say them in refusals; rows named in ``one_wedge`` were printed under the same wedge, so their steps are alike in
    length. Raises Refused for whatever is not surely found.
    """
    looked_at = _reduced(picture)
    refusals = []
    for upright in (False, True):
        seen = looked_at.T if upright else looked_at
        try:
            rows = _rows_across(_Picture(np.ascontiguousarray(seen), np.eye(3)), names, steps, one_wedge)
        except Refused as error:
            refusals.append(error)
            continue
        return tuple(_placed(corners, seen.shape, upright, count) for corners, count in zip(rows, steps, strict=True))
    raise max(refusals, key=lambda error: "rows of steps" not in str(error))


def _reduced(picture: NDArray[Any]) -> FloatArray:
    """Return the scan's tones, 0 to 1 in even steps for the eye, in means of squares of pixels."""
    by = max(1, -(-max(picture.shape) // LOOKED_AT_PX))
    rows, cols = (side // by * by for side in picture.shape)
    blocks = picture[:rows, :cols].astype(np.float64).reshape(rows // by, by, cols // by, by)
    return np.asarray(np.cbrt(blocks.mean(axis=(1, 3)) / np.iinfo(picture.dtype).max))


def _placed(corners: FloatArray, shape: tuple[int, ...], upright: bool, steps: int) -> Patchwork:
    """Return corners in pixels as fractions of the scan."""
    share = np.clip(corners / (np.array([shape[1], shape[0]]) - 1.0), 0.0, 1.0)
    return Patchwork(tuple((float(c[1]), float(c[0])) if upright else (float(c[0]), float(c[1])) for c in share), steps)


def _rows_across(
    picture: _Picture, names: Sequence[str], steps: Sequence[int], one_wedge: Sequence[str]
) -> list[FloatArray]:
    lean = picture.lean_deg()
    if abs(lean) > LEANS_DEG:
        raise Refused(f"rows of steps must lie straight within {LEANS_DEG:g} degrees, got edges that lean by {lean:.0f}")
    straight = picture.turned(lean)
    bands = _bands(straight.tone)
    if len(bands) != len(names):
        raise Refused(
            f"rows of steps must number {len(names)} ({', '.join(names)}), apart from each other and something dark behind "
            f"them, got {len(bands)}"
        )
    found: dict[str, FloatArray] = {}
    few: list[tuple[tuple[int, int], str, int]] = []
    for band, name, count in zip(bands, names, steps, strict=True):
        try:
            found[name] = _row(straight, band, name, count)
        except FewEdges:
            if not set(one_wedge) & set(names) - {name} or name not in one_wedge:
                raise
            few.append((band, name, count))
    counts = dict(zip(names, steps, strict=True))
    long = [float(np.hypot(*(found[n][1] - found[n][0]))) / counts[n] for n in one_wedge if n in found]
    for band, name, count in few:
        found[name] = _row(straight, band, name, count, float(np.median(long)) if long else None)
    return [found[name] for name in names]


class FewEdges(Refused):
    """A row that shows too few edges of steps for their length to be told from it alone."""


def _bands(tone: FloatArray) -> list[tuple[int, int]]:
    """Return the runs of rows that hold light and dark parts."""
    from scipy.ndimage import median_filter

    even = median_filter(tone, (5, 3))
    low, high = np.percentile(even, (8, 92), axis=1)
    holds = np.concatenate([[False], high - low > TONES_OF_A_ROW, [False]])
    starts, ends = np.flatnonzero(holds[1:] & ~holds[:-1]), np.flatnonzero(~holds[1:] & holds[:-1])
    return [(int(a), int(b)) for a, b in zip(starts, ends, strict=True) if b - a >= LEAST_ROW_PX]


def _row(straight: _Picture, band: tuple[int, int], name: str, steps: int, pitch: float | None = None) -> FloatArray:
    """Return the four corners of one row's steps on the reduced scan; ``pitch`` is the length of a step, where known."""
    first, last = band
    spare = (last - first) // 5
    own = straight.rows(first - spare, last + spare)
    own = own.turned(own.lean_deg())
    inner = _bands(own.tone)
    if len(inner) != 1:
        raise Refused(f"{name} must be one row of steps, got {len(inner)} once it was laid straight")
    top, bottom = inner[0]
    third = max((bottom - top) // 3, 2)
    profile = np.median(own.tone[top + third : bottom - third], axis=0)
    begin, end = _comb(profile, name, steps, pitch)
    upper, lower = _alike(own.tone, profile, begin, end, (top + bottom) // 2)
    ends = np.array([[begin, upper, 1.0], [end, upper, 1.0], [end, lower, 1.0], [begin, lower, 1.0]])
    return np.asarray((ends @ own.to_scan.T)[:, :2])


def _alike(tone: FloatArray, profile: FloatArray, begin: float, end: float, middle: int) -> tuple[float, float]:
    """Return between which rows the picture is like the row's middle: without the paper's black rim."""
    inside = slice(max(int(begin), 0), int(end) + 1)
    off = np.abs(tone[:, inside] - profile[inside])
    alike = np.median(off, axis=1) + off.mean(axis=1) < UNLIKE
    top = bottom = middle
    while top > 0 and alike[top - 1]:
        top -= 1
    while bottom < len(alike) - 1 and alike[bottom + 1]:
        bottom += 1
    return float(top), float(bottom)


def _comb(profile: FloatArray, name: str, steps: int, pitch: float | None) -> tuple[float, float]:
    """Return where the steps of a row begin and end along it, from its dark end to its white one or the other way."""
    from scipy.ndimage import gaussian_filter1d

    slope = gaussian_filter1d(profile, 1.5, order=1)
    noise = 6.0 * float(np.median(np.abs(slope - np.median(slope)))) / 0.6745
    least = max(EDGE_SHOWS, min(noise, 4 * EDGE_SHOWS))
    at = _peaks(slope, least)
    best: tuple[float, FloatArray, float, int] | None = None
    fewest = FEWEST_EDGES if pitch is None else FEWEST_OF_A_KNOWN_LENGTH
    most = 0
    for way in (1, -1):  # getting lighter to the right, or to the left: the white end's edge goes the other way
        for turn in at[(way * slope[np.rint(at).astype(int)] < 0)]:
            if abs(_jump(profile, turn)) < END_SHOWS:
                continue
            before = at[(at < turn) if way > 0 else (at > turn)]
            same = way * slope[np.rint(before).astype(int)] > 0
            inner = before[np.flatnonzero(~same)[-1] + 1 :] if way > 0 and (~same).any() else before
            inner = before[: np.flatnonzero(~same)[0]] if way < 0 and (~same).any() else inner
            rise = float(np.sum(np.abs(slope[np.rint(inner).astype(int)])))
            most = max(most, len(inner))
            if len(inner) >= fewest and (best is None or rise > best[0]):
                best = rise, inner, float(turn), way
    if best is None:
        _refuse_few(name, most)
    if pitch is not None:
        return _fitted_to(best[1], best[2], best[3], name, steps, pitch)
    return _fitted(best[1], best[2], best[3], name, steps, len(profile))


def _refuse_few(name: str, seen: int) -> NoReturn:
    """Refuse a row whose steps are not found: no white end, or a picture so hard that hardly a step shows."""
    if seen == 0:
        raise FewEdges(
            f"{name} must show {FEWEST_EDGES} edges of steps or more and its white end, got none that do: lay black paper "
            "behind the strips"
        )
    if not name.startswith("strip"):
        raise FewEdges(
            f"{name} must show {FEWEST_EDGES} edges of steps or more that say how long its steps are, got {seen}: does the "
            "scan keep its light and its dark end?"
        )
    rule = f"{FEWEST_EDGES} edges of steps or more, or {FEWEST_OF_A_KNOWN_LENGTH} beside a softer strip of the same wedge"
    raise FewEdges(
        f"{name} must show {rule} that says how long steps are, got {seen}: a hard picture under coarse steps has no more; "
        "scan it with a softer strip"
    )


def _fitted_to(edges: FloatArray, end: float, way: int, name: str, steps: int, pitch: float) -> tuple[float, float]:
    """Return both ends of a row whose steps are as long as those of another strip of the same wedge."""
    off = way * (end - edges) / pitch
    off = off[off < steps + 0.5]  # where the paper itself ends, beyond the wedge's clear end
    number = np.rint(off)
    fits = np.abs(off - number) < OFF_THE_COMB
    start = float(np.mean((off - number)[fits])) if fits.any() else 1.0
    rms = float(np.std((off - number)[fits])) if fits.any() else 1.0
    if fits.sum() < FEWEST_OF_A_KNOWN_LENGTH or np.mean(~fits) > MOST_ODD or rms > ILL_FITTING:
        raise Refused(
            f"{name} must have steps as long as the softer strips, {pitch:.1f} px, that end with its white end, got edges "
            f"{', '.join(f'{one:.2f}' for one in np.sort(off)[:6])} steps from it: is it of the same wedge?"
        )
    end -= way * start * pitch
    far = end - way * steps * pitch
    return (far, end) if way > 0 else (end, far)


def _jump(profile: FloatArray, at: float) -> float:
    """Return by how much the profile changes across an edge."""
    left, right = int(at) - 4, int(at) + 5
    return float(profile[min(right, len(profile) - 1)] - profile[max(left, 0)])


def _peaks(slope: FloatArray, least: float) -> FloatArray:
    """Return where the slope is steepest, up or down, in parts of a pixel."""
    size = np.abs(slope)
    inner = np.flatnonzero((size[1:-1] >= size[:-2]) & (size[1:-1] > size[2:]) & (size[1:-1] > least)) + 1
    a, b, c = size[inner - 1], size[inner], size[inner + 1]
    return np.asarray(inner + 0.5 * (a - c) / np.where(a - 2 * b + c == 0.0, 1.0, a - 2 * b + c))


def _fitted(edges: FloatArray, end: float, way: int, name: str, steps: int, length: int) -> tuple[float, float]:
    """Return both ends of the comb that edges and white end make."""
    away = np.sort(way * (end - edges))  # distances from the white end, in pixels
    if len(away) > FEWEST_EDGES and away[-1] > (steps + 0.5) * float(np.median(np.diff(away))):
        away = away[:-1]  # where the paper itself ends, beyond the wedge's clear end
    apart = np.diff(away)
    pitch = float(np.median(apart))
    for _ in range(4):
        number = np.rint(away / pitch)
        fits = np.abs(away - number * pitch) < OFF_THE_COMB * pitch + 0.5
        if fits.sum() < FEWEST_EDGES or len(set(number[fits])) < FEWEST_EDGES:
            raise Refused(f"{name} must have steps of one length, got edges that lie on no comb")
        slope, start = np.polyfit(number[fits], away[fits], 1)
        pitch = float(slope)
    number = np.rint((away - start) / pitch)
    off = (away - start) / pitch - number
    fits = np.abs(off) < OFF_THE_COMB
    rms = float(np.sqrt(np.mean(off[fits] ** 2))) if fits.any() else 1.0
    if rms > ILL_FITTING or np.mean(~fits) > MOST_ODD or abs(start) > END_OFF * pitch or pitch < LEAST_PITCH_PX:
        raise Refused(
            f"{name} must have steps of one length that end with its white end, got edges off by {rms:.2f} of a step and an "
            f"end off by {start / pitch:.2f}: is its number of steps right, and is it clean?"
        )
    last = int(number[fits].max())
    if last > steps:
        raise Refused(f"{name} must have {steps} steps, got an edge {last} steps from its white end")
    far = end - way * steps * pitch
    if not -0.5 * pitch <= far <= length - 1 + 0.5 * pitch:
        raise Refused(f"{name} must lie in the scan with all of its {steps} steps, got {pitch:.1f} px a step, which reach out")
    return (far, end) if way > 0 else (end, far)
