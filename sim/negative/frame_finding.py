"""Where the picture lies in a scan: inside holder, rebate and perforation, on film that lies askew by some degrees.

Three things bear no picture: a holder, which passes no light; the rebate, which is clear film, even and thin; air, through
perforations and beside the film, which is clearer still. How thin the rebate is is not known before, so every level at which
much of the scan lies is tried. The picture is the rectangle on whose every side picture ends and one of the three begins.
Where no rectangle does that, nothing is found, and it is said what was missing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sim.negative.scan_frame import Box, straightened

HOLDER_DENSITY = 2.6  # above rebate: denser than a picture is over a whole row, lighter than a holder
LEAST_HOLDER = 1.5  # above the scan's clearest: an even rim so dense all around is a holder lifted by stray light
BELOW_HOLDER = 0.35  # density: what is so much thinner than such a rim is film (chosen: twice what rims were made to vary by)
MOST_REBATE = 0.6  # above the scan's clearest, which may be air: base and fog of a film is 0.05 to 0.4
ABOVE_REBATE = 0.035  # density: rebate is even to so much, fogging at its edge included; a picture's shadows lie above it
LEVEL_STEP = 0.01  # density
LEAST_AT_LEVEL = 0.006  # share of the scan: less is no rebate
MOST_LEVELS = 6
LEAST_PICTURE = 0.15  # share of a line that must be picture: letters and dust in the rebate are less
LOOKED_AT_PX = 480  # the shorter side is looked at with so many points
STRAIGHTENED_PX = (120, 240)  # and the tilt is looked for with so many, then with so many
TILTS_DEG = (np.arange(-5.0, 5.1, 0.5), np.arange(-0.75, 0.76, 0.05))  # turned by so much, then by so much more
LEAST_TILT_DEG = 0.1  # below it nothing is turned: 0.2 mm over a frame of 120 mm
INSET = 0.006  # of each side: the soft edge of the gate is left out
LEAST_FRAME = 0.2  # of a side: less is no frame that was found
INSIDE, OUTSIDE = 0.35, 0.06  # share of picture just within a side, at the least; just beyond it, at the most
REBATE_ITSELF = 0.7  # share of what lies just within all sides at one thin level: that is rebate, not picture
SIDES_ALIKE = 0.07  # by so much may the sides' proportion differ from the film's: gates are filed out
GAP = 0.008  # of a side: lines without picture across a frame: it is two
ANOTHER = 0.6  # of the frame's side: so much more picture beyond clear film is another frame, not the neighbour's edge
NO_PICTURE = 0.02  # share of a line that may look like picture where there is none: dust, letters
CUT_BESIDE = 0.06  # of a part: so far beside a gap a cut may lie and still leave each frame in its own part (chosen)
ANOTHER_ON_SHEET = 0.1  # the same in one part of a sheet, which must hold one frame and no part of another

GridSide = Literal["on", "off", "unseen"]


@dataclass(frozen=True)
class FoundFrame:
    """Where the picture lies once the scan is turned clockwise by ``tilt_deg``; the rebate's density above the scan's clearest.

    ``rebate`` is None where no side shows any.
    """

    box: Box
    tilt_deg: float
    rebate: float | None


Missing = Literal["no edge", "an edge", "proportion", "two frames"]


@dataclass(frozen=True)
class Unsure:
    """What was missing for a frame to be sure of: no edge at all, one of its sides, the film's proportion (what it was)."""

    missing: Missing
    proportion: float = 0.0


@dataclass(frozen=True)
class _Side:
    """What lies at one side of a rectangle: the share of picture just within and just beyond; beyond the scan: None."""

    within: float
    beyond: float | None


@dataclass(frozen=True, eq=False)
class _Tried:
    """A rectangle of the small scan (top, bottom, left, right in points) and how well picture ends at its sides."""

    lines: tuple[int, int, int, int]
    level: float
    sides: tuple[_Side, ...]
    beside: float  # the most picture beyond clear film, as a share of the rectangle's own side
    rim: float  # share of what lies just within it that is one thin even tone

    @property
    def seen(self) -> int:
        """How many sides lie inside the scan."""
        return sum(side.beyond is not None for side in self.sides)

    @property
    def sharp(self) -> bool:
        """Tell whether picture ends at every side that lies inside the scan."""
        ends = all(s.beyond is None or (s.within >= INSIDE and s.beyond <= OUTSIDE) for s in self.sides)
        return ends and self.rim < REBATE_ITSELF

    @property
    def proportion(self) -> float:
        """The longer side over the shorter."""
        top, bottom, left, right = self.lines
        high, wide = bottom - top, right - left
        return max(high, wide) / min(high, wide)


def find_frame(
    density: NDArray[Any], frame_mm: tuple[float, float] | None = None, least_sides: int = 1, tilt_deg: float | None = None
) -> FoundFrame | Unsure:
    """Return where the picture lies in a scan of densities above its clearest [row, col], or what is missing to be sure.

    ``frame_mm`` is the film's frame, whose proportion the picture must have. ``least_sides`` must lie inside the scan (all
    four in one of many frames). With ``tilt_deg`` the scan is taken to be straight already, turned by that.
    """
    small = _smaller(density, LOOKED_AT_PX)
    found: list[tuple[_Tried, float]] = []
    for level in _levels(small):
        holder = _holder_from(small, level)
        tilt = tilt_of(small, level, holder) if tilt_deg is None else 0.0
        straight = straightened(small, tilt) if tilt else small
        found += [(one, tilt) for one in _tried(straight, level, holder)]
    sharp = [(one, tilt) for one, tilt in found if one.sharp and one.seen >= least_sides]
    most_beside = ANOTHER if least_sides < 4 else ANOTHER_ON_SHEET
    fitting = [(one, tilt) for one, tilt in sharp if one.beside <= most_beside and _fits(one, frame_mm)]
    if not fitting:
        return _missing(sharp, found, most_beside)
    best, tilt = min(fitting, key=lambda one: (-one[0].seen, _area(one[0]), one[0].level))
    return FoundFrame(_box(best, small.shape), tilt if tilt_deg is None else tilt_deg, _rebate(straightened(small, tilt), best))


def tilt_of_sheet(density: NDArray[Any]) -> float:
    """Return by how many degrees, clockwise, a sheet of frames must be turned to lie straight."""
    small = _smaller(density, LOOKED_AT_PX)
    level = max(_levels(small), default=0.0)
    return tilt_of(small, level, _holder_from(small, level))


def grid_on_gaps(density: NDArray[Any], columns: int, rows: int) -> tuple[GridSide, GridSide]:
    """Return how a grid said of a sheet lies against the gaps between its frames: its columns, then its rows.

    "off": gaps are seen, and a cut lies beside them, or one has no cut; "unseen": no line without picture runs across, as on
    a sheet that leans, or of frames that touch; "on": a cut in every gap.
    """
    small = _smaller(density, LOOKED_AT_PX)
    across: list[GridSide] = ["unseen"]
    down: list[GridSide] = ["unseen"]
    for level in _levels(small):
        picture = _picture(small, level, _holder_from(small, level))
        across.append(_cuts_on_gaps(picture.mean(axis=0), columns))
        down.append(_cuts_on_gaps(picture.mean(axis=1), rows))
    order: tuple[GridSide, ...] = ("on", "off", "unseen")
    return min(across, key=order.index), min(down, key=order.index)


def _cuts_on_gaps(share: NDArray[np.float64], parts: int) -> GridSide:
    """Return how cuts into even parts lie against gaps: runs of lines without picture, with picture on both sides.

    The runs that count are as wide as ``GAP``. A cut may miss its gap's edge by ``CUT_BESIDE`` of a part.
    """
    holds = np.flatnonzero(share >= LEAST_PICTURE)
    if not len(holds):
        return "unseen"
    bare = np.concatenate([[0], (share < NO_PICTURE).astype(np.int8), [0]])
    ends = np.flatnonzero(np.diff(bare))
    wide = max(2, round(GAP * len(share)))
    gaps = [
        (a, b) for a, b in zip(ends[::2], ends[1::2], strict=True)
        if holds[0] < a and b <= holds[-1] and b - a >= wide
    ]  # fmt: skip
    cuts, beside = [k * len(share) / parts for k in range(1, parts)], CUT_BESIDE * len(share) / parts
    if not gaps:
        return "unseen" if cuts else "on"
    met = all(any(a - beside <= cut <= b + beside for a, b in gaps) for cut in cuts)
    return "on" if met and all(any(a - beside <= cut <= b + beside for cut in cuts) for a, b in gaps) else "off"


def _missing(sharp: list[tuple[_Tried, float]], found: list[tuple[_Tried, float]], most_beside: float) -> Unsure:
    """Return what kept the rectangles that were tried from being frames."""
    if sharp and all(one.beside > most_beside for one, _ in sharp):
        return Unsure("two frames")
    if sharp:
        return Unsure("proportion", next(one for one, _ in sharp if one.beside <= most_beside).proportion)
    return Unsure("an edge" if any(one.seen for one, _ in found) else "no edge")


def _fits(one: _Tried, frame_mm: tuple[float, float] | None) -> bool:
    if frame_mm is None:
        return True
    wanted = max(frame_mm) / min(frame_mm)
    return abs(one.proportion / wanted - 1.0) <= SIDES_ALIKE


def _area(one: _Tried) -> int:
    top, bottom, left, right = one.lines
    return (bottom - top) * (right - left)


def _smaller(density: NDArray[Any], side_px: int) -> NDArray[np.float32]:
    """Return a scan with about so many points on its shorter side: the mean density of little squares, dust and grain off."""
    step = max(1, min(density.shape) // side_px)
    rows, cols = (size // step for size in density.shape)
    cut = density[: rows * step, : cols * step].reshape(rows, step, cols, step)
    return np.asarray(cut.mean(axis=(1, 3)), dtype=np.float32)


def _levels(small: NDArray[np.float32]) -> list[float]:
    """Return the thin densities at which much of a scan lies: rebate, air, or an even shadow of the picture."""
    edges = np.arange(-0.15, MOST_REBATE + LEVEL_STEP, LEVEL_STEP)
    counts = np.histogram(small, edges)[0].astype(np.float64)
    smooth = np.convolve(counts, (1.0, 2.0, 3.0, 2.0, 1.0), "same") / 9.0
    around = np.pad(smooth, 2, mode="edge")
    peaks = [
        k for k in range(len(smooth))
        if smooth[k] >= around[k : k + 5].max() and counts[max(k - 2, 0) : k + 3].sum() >= LEAST_AT_LEVEL * small.size
    ]  # fmt: skip
    peaks = sorted(peaks, key=lambda k: -smooth[k])[:MOST_LEVELS]
    return sorted({round(float(edges[k]) + LEVEL_STEP / 2.0, 4) for k in peaks} | {0.0})


def _holder_from(small: NDArray[np.float32], level: float) -> float:
    """Return the density from which on there is no film: of a holder, or of the even dense rim that stands for one."""
    wide = max(2, min(small.shape) // 60)
    rim = np.concatenate([small[:wide].ravel(), small[-wide:].ravel(), small[:, :wide].ravel(), small[:, -wide:].ravel()])
    low, middle, high = np.percentile(rim, (25, 50, 75))
    if middle > LEAST_HOLDER and high - low < BELOW_HOLDER:
        return float(min(middle - BELOW_HOLDER, HOLDER_DENSITY + level))
    return HOLDER_DENSITY + level


def tilt_of(small: NDArray[np.float32], level: float, holder: float) -> float:
    """Return by how many degrees, clockwise, a small scan must be turned for its picture to lie straight.

    The picture's sides are the longest straight edges between picture and what bears none: turned right, the count of
    picture from line to line leaps most.
    """
    best = 0.0
    for side_px, spread in zip(STRAIGHTENED_PX, TILTS_DEG, strict=True):
        step = max(1, min(small.shape) // side_px)
        picture = _picture(small[::step, ::step], level, holder).astype(np.float64)
        best += float(spread[int(np.argmax([_leaps(picture, best + turn) for turn in spread]))])
    return round(best, 2) if abs(best) >= LEAST_TILT_DEG else 0.0


def _picture(small: NDArray[np.float32], level: float, holder: float) -> NDArray[np.bool_]:
    """Return what is neither holder nor rebate of that level nor air."""
    film = (small < holder) & (small > ABOVE_REBATE)
    return np.asarray(film & (np.abs(small - level) > ABOVE_REBATE), dtype=np.bool_)


def _leaps(picture: NDArray[np.float64], tilt_deg: float) -> float:
    """Return how much the count of picture leaps from line to line, both ways, once turned clockwise by some degrees."""
    rows, cols = picture.shape
    angle = np.radians(tilt_deg)
    y, x = np.arange(rows)[:, None] - (rows - 1) / 2.0, np.arange(cols)[None, :] - (cols - 1) / 2.0
    total = 0.0
    for along, side in ((y * np.cos(angle) + x * np.sin(angle), cols), (x * np.cos(angle) - y * np.sin(angle), rows)):
        place = along - along.min()
        low = place.astype(np.intp)
        part = place - low
        count = np.bincount(low.ravel(), (picture * (1.0 - part)).ravel(), int(place.max()) + 2)
        count += np.bincount(low.ravel() + 1, (picture * part).ravel(), int(place.max()) + 2)[: len(count)]
        total += float(((np.diff(count) / side) ** 2).sum())
    return total


def _tried(small: NDArray[np.float32], level: float, holder: float) -> Iterator[_Tried]:
    """Yield the rectangles that picture fills when what lies at or below one level bears none: all of it, its longest part."""
    picture = _picture(small, level, holder)
    for longest in (False, True):
        rows, cols = slice(0, small.shape[0]), slice(0, small.shape[1])
        for _ in range(4):  # what a line holds is counted inside the frame found so far
            rows, above = _lines(picture[:, cols].mean(axis=1), longest)
            cols, beside = _lines(picture[rows].mean(axis=0), longest)
        if rows.stop - rows.start >= LEAST_FRAME * small.shape[0] and cols.stop - cols.start >= LEAST_FRAME * small.shape[1]:
            lines = (rows.start, rows.stop, cols.start, cols.stop)
            another = max(above, beside, 1.0 if _gap(picture[rows, cols]) else 0.0)
            yield _Tried(lines, level, _sides(picture, lines), another, _rim(small, lines))


def _lines(share: NDArray[np.float64], longest: bool) -> tuple[slice, float]:
    """Return from the first line to the last that holds picture, or the longest run of lines that do.

    And the length of the next longest run beyond what is returned, over the length returned.
    """
    holds = share > LEAST_PICTURE
    if not holds.any():
        return slice(0, len(holds)), 0.0
    ends = np.flatnonzero(np.diff(np.concatenate([[0], holds.astype(np.int8), [0]])))
    starts, stops = ends[::2], ends[1::2]
    if not longest:
        return _full_lines(share, int(starts[0]), int(stops[-1])), 0.0
    long = np.sort(stops - starts)
    k = int(np.argmax(stops - starts))
    return _full_lines(share, int(starts[k]), int(stops[k])), float(long[-2] / long[-1]) if len(long) > 1 else 0.0


def _full_lines(share: NDArray[np.float64], start: int, stop: int) -> slice:
    """Return a run of lines without those at its ends that hold picture only in part, as at a gate's soft or leaning edge."""
    full, deep = 0.5 * float(np.median(share[start:stop])), max(1, (stop - start) // 100)
    while start < stop - 1 and deep and share[start] < full:
        start, deep = start + 1, deep - 1
    deep = max(1, (stop - start) // 100)
    while stop > start + 1 and deep and share[stop - 1] < full:
        stop, deep = stop - 1, deep - 1
    return slice(start, stop)


def _sides(picture: NDArray[np.bool_], lines: tuple[int, int, int, int]) -> tuple[_Side, ...]:
    """Return what lies at top, bottom, left and right of a rectangle."""
    top, bottom, left, right = lines
    down, across = picture[:, left:right], picture[top:bottom].T
    return (
        _side(down[::-1], len(down) - top), _side(down, bottom), _side(across[::-1], len(across) - left), _side(across, right),
    )  # fmt: skip


def _side(picture: NDArray[np.bool_], end: int) -> _Side:
    """Return the share of picture before and beyond a row; the soft edge of a gate between them is left out."""
    deep = max(2, len(picture) // 100)
    within = float(picture[max(end - 1 - 2 * deep, 0) : end - 1].mean())
    if len(picture) - end < 2:
        return _Side(within, None)
    return _Side(within, float(picture[min(end + 1, len(picture) - 1) : end + 1 + deep].mean()))


def _gap(picture: NDArray[np.bool_]) -> bool:
    """Tell whether lines without any picture run right across a rectangle."""
    for axis in (0, 1):
        share = picture.mean(axis=axis)
        bare = np.convolve(share < NO_PICTURE, np.ones(max(3, round(GAP * len(share)))), "valid")
        if (bare >= max(3, round(GAP * len(share)))).any():
            return True
    return False


def _rim(small: NDArray[np.float32], lines: tuple[int, int, int, int]) -> float:
    """Return which share of what lies just within a rectangle is one thin, even tone: rebate, taken for picture."""
    top, bottom, left, right = lines
    inside = small[top:bottom, left:right]
    deep = max(2, min(inside.shape) // 60)
    at = slice(1, 1 + deep)
    rim = np.concatenate([part.ravel() for part in (inside[at], inside[::-1][at], inside[:, at], inside[:, ::-1][:, at])])
    thin = rim[rim < MOST_REBATE]
    if len(thin) < REBATE_ITSELF * len(rim):
        return 0.0
    middle = float(np.median(thin))
    return float((np.abs(rim - middle) < ABOVE_REBATE).mean())


def _rebate(straight: NDArray[np.float32], one: _Tried) -> float | None:
    """Return the density of the clear film around a frame, above the scan's clearest; None where no side shows any."""
    top, bottom, left, right = one.lines
    rows, cols = straight.shape
    deep = max(2, min(rows, cols) // 100)
    around = (
        straight[max(top - deep - 1, 0) : max(top - 1, 0), left:right], straight[bottom + 1 : bottom + 1 + deep, left:right],
        straight[top:bottom, max(left - deep - 1, 0) : max(left - 1, 0)], straight[top:bottom, right + 1 : right + 1 + deep],
    )  # fmt: skip
    clear = [float(np.median(side)) for side in around if side.size and _is_rebate(side, one.level)]
    return float(np.median(clear)) if clear else None


def _is_rebate(side: NDArray[np.float32], level: float) -> bool:
    return bool((np.abs(side - level) < ABOVE_REBATE).mean() > 0.5)


def _box(one: _Tried, shape: tuple[int, ...]) -> Box:
    """Return a rectangle of a small scan as fractions of it, the soft edge of the gate left out."""
    top, bottom, left, right = one.lines
    wide, high = INSET * (right - left), INSET * (bottom - top)
    return Box(
        (left + wide) / shape[1], (top + high) / shape[0], (right - wide) / shape[1], (bottom - high) / shape[0]
    )  # fmt: skip
