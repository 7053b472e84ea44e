"""What must hold for the words of any frame: inside the window, none over another, none cut that may not be."""

from __future__ import annotations

from itertools import combinations

from pygame import Rect

from sim.window.kit.canvas import Canvas

TOUCH = 2  # pixels of line height (empty leading) that two lines may share


def faults(canvas: Canvas) -> list[str]:
    """Return in words what is wrong with the labels of a frame."""
    window = canvas.surface.get_rect()
    found = []
    for label in canvas.labels:
        if not window.contains(label.rect):
            found.append(f"outside: {label.words!r} {label.rect}")
        if label.shortened and not label.may_shorten:
            found.append(f"cut: {label.words!r}")
    layers = {label.layer for label in canvas.labels}
    for layer in layers:
        labels = [label for label in canvas.labels if label.layer == layer and label.words.strip()]
        for one, other in combinations(labels, 2):
            if _inner(one.rect).colliderect(_inner(other.rect)):
                found.append(f"over each other: {one.words!r} {one.rect} and {other.words!r} {other.rect}")
    return found


def _inner(rect: Rect) -> Rect:
    return Rect(rect.x + 1, rect.y + TOUCH, max(1, rect.w - 2), max(1, rect.h - 2 * TOUCH))
