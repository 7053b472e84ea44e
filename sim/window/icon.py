"""The window's icon, drawn by us: a test strip of five steps under the safelight."""

from __future__ import annotations

import pygame
from pygame import Rect, Surface

SIDE = 64
STEPS = (236, 190, 134, 78, 30)  # paper white to black, as screen levels


def icon() -> Surface:
    """Return the icon."""
    picture = Surface((SIDE, SIDE), pygame.SRCALPHA)
    pygame.draw.rect(picture, (27, 17, 10), Rect(0, 0, SIDE, SIDE), border_radius=12)
    pygame.draw.circle(picture, (255, 158, 70), (SIDE // 2, 11), 5)
    left, top, wide, high = 9, 22, 46, 34
    for n, level in enumerate(STEPS):
        x0, x1 = left + wide * n // len(STEPS), left + wide * (n + 1) // len(STEPS)
        colour = (level, int(level * 0.62), int(level * 0.28))
        pygame.draw.rect(picture, colour, Rect(x0, top, x1 - x0, high))
    pygame.draw.rect(picture, (96, 59, 31), Rect(left - 1, top - 1, wide + 2, high + 2), 1)
    return picture
