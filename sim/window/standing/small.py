"""A window smaller than the room needs shows all of it made smaller: hard to read, but whole, and every touch arrives."""

from __future__ import annotations

import math
from dataclasses import replace

import pygame
from pygame import Surface

from sim.window.kit.events import Event, Pointer

LEAST_ROOM = (680, 450)  # logical units every place is laid out for: type may be as large as lets so many fit
LARGEST_PX = 4096  # of a small window of an odd shape


def scale_for(wanted: float, window: tuple[int, int]) -> float:
    """Return the scale that can be shown: what is wanted, held down so that the least room still fits."""
    return max(1.0, min(wanted, window[0] / LEAST_ROOM[0], window[1] / LEAST_ROOM[1]))


def room_size(window: tuple[int, int]) -> tuple[int, int]:
    """Return the size the room is drawn at: the window's, or as much larger as the least room asks, its shape kept."""
    share = min(1.0, window[0] / LEAST_ROOM[0], window[1] / LEAST_ROOM[1])
    if share >= 1.0:
        return window
    wide, high = (min(LARGEST_PX, math.ceil(side / share)) for side in window)
    return max(LEAST_ROOM[0], wide), max(LEAST_ROOM[1], high)


def in_room(event: Event, window: tuple[int, int], room: tuple[int, int]) -> Event:
    """Return an event where it happens in the room."""
    if window == room or not isinstance(event, Pointer):
        return event
    x, y = (int((p + 0.5) * inside / outside) for p, inside, outside in zip(event.pos, room, window))
    return replace(event, pos=(x, y))


def made_smaller(room: Surface, onto: Surface) -> None:
    """Draw the room onto the window."""
    onto.blit(pygame.transform.smoothscale(room, onto.get_size()), (0, 0))
