"""Rectangles cut from rectangles: the whole art of laying out a place."""

from __future__ import annotations

from collections.abc import Sequence

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


def rows(rect: Rect, heights: Sequence[int], gap: int = 0) -> list[Rect]:
    """Return one rectangle per height, from the top down."""
    found, y = [], rect.y
    for height in heights:
        found.append(Rect(rect.x, y, rect.w, height))
        y += height + gap
    return found


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
