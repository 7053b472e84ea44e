"""What leads on towards an evening's first whole print, and the rim of light that shows where it stands."""

from __future__ import annotations

import pygame
from pygame import Rect, Surface

from sim.window.evenings import kept_evenings
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.standing.room import OneRoom

RIMS = ((2, 255), (5, 110), (8, 60), (11, 28))  # logical units away from the thing, and how much of the light (0-255); chosen
SHOWN_ROUNDS = 2  # whole prints to which the way is shown (chosen: the second begins otherwise, in white light and darkness)


def next_act(room: OneRoom) -> str:
    """Return the id of the thing that comes next, or nothing: in a lesson the teacher points, and after a second whole print
    one knows the way.
    """
    place = room.standing.place
    if not room.open:
        return "" if kept_evenings(room.folder) else "new evening"
    if room.lesson is not None or room.burning or room.darkroom.evening.hands_off:
        return ""
    made, whites = _developed(room).count("sheet"), room.darkroom.white_light
    if place == "trays":
        return _at_the_trays(room)
    if place == "wall":
        return _at_the_wall(room)
    if place != "enlarger":
        return ""
    if whites and room.darkroom.paper.piece is None:
        return "cord"  # in white light nothing can be done here, in any round
    return _at_the_enlarger(room) if made <= SHOWN_ROUNDS - 1 else ""


def _at_the_enlarger(room: OneRoom) -> str:
    """Return what comes next on the dry side: a picture to look at, paper, light, and on with it."""
    dark = room.darkroom
    piece = dark.paper.piece
    if piece is None:
        looks = dark.easel.lit or "sheet" not in _developed(room)  # of the first round the picture stands there
        return "paper box" if looks else "foot"
    return "foot" if piece.exposures == 0 else "way on"


def _at_the_wall(room: OneRoom) -> str:
    """Return what comes next at the wall: white light, and after the first print the way back for the second."""
    made = _developed(room)
    if len(made) == 1 and not room.darkroom.white_light:
        return "cord"
    return "to enlarger" if made.count("sheet") == 1 and room.darkroom.white_light else ""


def _developed(room: OneRoom) -> list[str]:
    """Return which kinds of pieces came out of the developer this evening; what was thrown away is in the log besides."""
    records = (made.record for made in room.darkroom.evening.state.sheets)
    return [record.sheet.kind for record in records if record.development.time_s > 0.0]


def _at_the_trays(room: OneRoom) -> str:
    """Return what comes next with the first piece that goes through the baths."""
    dark = room.darkroom
    on_the_way = dark.tray.number is not None  # it is counted already
    if _developed(room).count("sheet") - on_the_way >= SHOWN_ROUNDS:
        return ""
    if dark.tray.stage in ("", "dry") and dark.paper.piece is not None and dark.paper.piece.exposures > 0:
        return "sheet in hand"
    return {"": "", "dry": "to the wall"}.get(dark.tray.stage, "hang up")


def draw_rim(canvas: Canvas, rect: Rect) -> None:
    """Draw the rim of light around a thing."""
    look = canvas.look
    reach = look.px(RIMS[-1][0]) + 2
    picture = look.keep(("rim", rect.size), lambda: _rim(look, rect.size, reach))
    canvas.surface.blit(picture, (rect.x - reach, rect.y - reach))


def _rim(look: Look, size: tuple[int, int], reach: int) -> Surface:
    picture = Surface((size[0] + 2 * reach, size[1] + 2 * reach), pygame.SRCALPHA)
    inner = Rect(reach, reach, *size)
    for away, strength in reversed(RIMS):
        around = inner.inflate(2 * look.px(away), 2 * look.px(away))
        colour = (*look.colour("lamp"), strength)
        pygame.draw.rect(picture, colour, around, max(1, look.px(2)), border_radius=look.px(5 + away))
    return picture
