"""What is pencilled on a print of its light: seconds through each filter, work with cards, and a short development."""

from __future__ import annotations

from sim.bench.light_of_print import LightOfPrint
from sim.bench.piece import Piece
from sim.window.standing.room import OneRoom
from sim.window.things.filters import stamped


def light_words(room: OneRoom, light: LightOfPrint) -> str:
    """Return a print's light: ``10.0 s · 2``, or ``00 10.0 s + 5 6.0 s``; then what cards and developer did to it."""
    one = len(light.seconds) == 1
    said = [(room.number(time_s), stamped(name)) for name, time_s in light.seconds]
    parts = [" + ".join(f"{time} s · {name}" if one else f"{name} {time} s" for time, name in said)] if said else []
    parts += [room.line("flashed", seconds=room.number(light.flash_s))] if light.flash_s else []
    parts += [room.line("held back")] * light.held_back + [room.line("burnt in")] * light.burnt_in
    return " · ".join([*parts, *filter(None, (out_after(room, light),))])


def out_after(room: OneRoom, light: LightOfPrint) -> str:
    """Return after how many seconds a sheet left the developer, where that was far from its time; else nothing."""
    had_s = light.short_s or light.long_s
    return room.line("out after", had=f"{had_s:.0f}") if had_s else ""


def light_so_far(room: OneRoom, piece: Piece) -> str:
    """Return what a piece of paper has had: the steps of a strip, else seconds through the negative, and of a flash."""
    steps = [step.time_s for step in room.darkroom.paper.strip_steps] if piece.kind == "strip" else []
    if steps:
        return room.line("steps from to", first=room.number(min(steps)), last=room.number(max(steps)))
    said = [f"{room.number(piece.seconds)} s"] if piece.seconds or not piece.flash_s else []
    said += [room.line("flashed", seconds=room.number(piece.flash_s))] if piece.flash_s else []
    return " + ".join(said)
