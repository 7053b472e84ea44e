"""Rectangles cut from rectangles: the whole art of laying out a place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pygame import Rect


def inset(rect: Rect, n: int, m: int | None = None) -> Rect:
    """Return a rectangle smaller by ``n`` pixels at the sides and ``m`` above and below."""
    down = n if m is None else m
    return Rect(rect.x + n, rect.y + down, max(0, rect.w - 2 * n), max(0, rect.h - 2 * down))


def cut_left(rect: Rect, n: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return the ``n`` pixels at the left, and the rest."""
    n = min(n, rect.w)
    return Rect(rect.x, rect.y, n, rect.h), Rect(rect.x + n + gap, rect.y, max(0, rect.w - n - gap), rect.h)


def cut_right(rect: Rect, n: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return the ``n`` pixels at the right, and the rest."""
    n = min(n, rect.w)
    return Rect(rect.right - n, rect.y, n, rect.h), Rect(rect.x, rect.y, max(0, rect.w - n - gap), rect.h)


def cut_top(rect: Rect, n: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return the ``n`` pixels at the top, and the rest."""
    n = min(n, rect.h)
    return Rect(rect.x, rect.y, rect.w, n), Rect(rect.x, rect.y + n + gap, rect.w, max(0, rect.h - n - gap))


def cut_bottom(rect: Rect, n: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return the ``n`` pixels at the bottom, and the rest."""
    n = min(n, rect.h)
    return Rect(rect.x, rect.bottom - n, rect.w, n), Rect(rect.x, rect.y, rect.w, max(0, rect.h - n - gap))


def stood(size: tuple[int, int], anchor: str, at: tuple[int, int], inside: Rect | None = None) -> Rect:
    """Return a rectangle of a size whose ``anchor`` (``midtop``, ``center`` …) lies at a point, moved ``inside`` another."""
    rect = Rect((0, 0), size)
    setattr(rect, anchor, at)
    return rect.clamp(inside) if inside is not None else rect


def hiding_least(
    size: tuple[int, int], spots: Iterable[tuple[int, int]], inside: Rect, hides: Sequence[tuple[float, Rect]],
    at: tuple[int, int], away: float,
) -> tuple[float, Rect]:  # fmt: skip
    """Return where among upper left corners something hides least, and what that costs.

    ``hides`` are rectangles with what each of their pixels weighs; a pixel farther from ``at`` costs ``away``.
    """

    def cost(rect: Rect) -> float:
        cuts = ((weight, rect.clip(other)) for weight, other in hides)
        far = abs(rect.centerx - at[0]) + abs(rect.centery - at[1])
        return sum(weight * cut.w * cut.h for weight, cut in cuts) + away * far

    best = min((Rect(spot, size).clamp(inside) for spot in spots), key=cost)
    return cost(best), best


def columns(rect: Rect, shares: Sequence[float], gap: int = 0) -> list[Rect]:
    """Return rectangles side by side that share the width in the given parts; they fill it exactly."""
    whole = rect.w - gap * (len(shares) - 1)
    found, x, before = [], rect.x, 0.0
    for share in shares:
        left = round(whole * before / sum(shares))
        before += share
        width = round(whole * before / sum(shares)) - left
        found.append(Rect(x, rect.y, max(0, width), rect.h))
        x += width + gap
    return found


def fit(size: tuple[float, float], rect: Rect) -> Rect:
    """Return the largest rectangle of the same shape as ``size`` inside ``rect``, centred."""
    width, height = max(1e-6, size[0]), max(1e-6, size[1])
    scale = min(rect.w / width, rect.h / height)
    inner = Rect(0, 0, max(1, int(width * scale)), max(1, int(height * scale)))
    inner.center = rect.center
    return inner
