"""Which thing in the room a line of a lesson means: what it names among the controls that are free, else paper and picture."""

from __future__ import annotations

import re
from collections.abc import Collection

from sim.window.standing.room import OneRoom
from sim.window.standing.standing import Place

# What a text calls a thing, the thing's id, and the control by which a lesson may keep it locked ("": it never does).
NAMED: tuple[tuple[str, str, str], ...] = (
    (r"strips?\b", "strips", ""),
    (r"filters?\b|grades?\b|soft(er)?\b|hard(er)?\b|contrast", "filter", "filter"),
    (r"apertures?\b|\blens\b|\bf/", "aperture", "f_number"),
    (r"seconds?\b|\btimes?\b|how long|timer\b|\d s\b|\bstops?\b", "timer", "time_s"),
    (r"\bhead\b|column|\bheights?\b|\bsize\b|larger print|magnif", "head", "height_mm"),
    (r"focus|sharp|\bgrain", "focus", "focus_offset_mm"),
    (r"\bcards?\b|hold(s|ing)? back|held back|\bburn(s|t|ing)?\b|dodg", "large disc", "cards"),
    (r"\bflash(es|ed|ing)?\b|without the negative", "opal sheet", "flash"),
    (r"\bpair\b|two exposures|exposed \d|second exposure", "plan add", "exposures"),
    (r"\bmeter\b", "meter", ""),
    (r"develop|\btrays?\b|\bbaths?\b|tongs|gloves|fixer", "trays", ""),
    (r"white light|nominate|\bname the\b|densitometer|look first|the wall\b", "counts", ""),
)
LESS: tuple[tuple[str, str], ...] = (
    (r"\bnegative\b|easel|\bpicture\b|projected", "easel"), (r"\bsheets?\b|\bprints?\b|\bpaper\b", "paper box"),
)  # fmt: skip
AT_PLACE: dict[str, Place] = {"trays": "trays", "counts": "wall", "wall": "wall"}


def target_of(text: str, free: Collection[str]) -> str:
    """Return the id of the thing that a line means: the one it names first, those kept locked left out."""
    low = text.lower()
    if re.search(r"\bslot\b", low):
        return "strip kind"
    found = []
    for words, thing, control in NAMED:
        at = re.search(words, low)
        if at and (not control or control in free):
            found.append((at.start(), thing))
    if found:
        return min(found)[1]
    less = [(at.start(), thing) for words, thing in LESS if (at := re.search(words, low))]
    return min(less)[1] if less else "easel"


def possible_at(room: OneRoom, thing: str) -> str:
    """Return the thing that comes first where one cannot be worked yet: paper on the way, or the white light, is in between."""
    darkroom = room.darkroom
    piece, bath = darkroom.paper.piece, darkroom.tray.stage
    if thing == "strip kind" and (piece is None or piece.kind != "strip" or piece.exposures):
        thing = "strips"  # how a strip is laid is chosen once one lies there
    place, paper = place_of(thing), thing in ("paper box", "strips")
    on_its_way = thing == f"print {darkroom.tray.number}"
    if bath not in ("", "dry") and (place == "enlarger" or on_its_way):
        return "trays"
    if thing == "trays" and not bath and (piece is None or not piece.exposures):
        paper, thing = True, "paper box"  # nothing is there for the baths yet
    if paper and piece is not None:
        lies = "easel" if piece.kind == "strip" else "foot"
        return "trays" if piece.exposures and darkroom.paper.strip_to_come is None else lies
    return "cord" if paper and room.light == "white" else thing


def state_of(room: OneRoom, thing: str) -> object:
    """Return what a thing of a line stands at: once it is otherwise, what the line asks for is done."""
    darkroom = room.darkroom
    now, piece = darkroom.desk.now, darkroom.paper.piece
    return {
        "timer": now.time_s, "aperture": now.f_number, "filter": now.filtration, "head": now.height_mm,
        "focus": now.ring_mm, "opal sheet": now.opal_sheet, "strips": piece is not None, "paper box": piece is not None,
        "large disc": room.standing.card is not None, "meter": room.standing.meter_mm is not None,
        "trays": darkroom.tray.stage, "cord": room.light, "counts": darkroom.wall.nominated,
    }.get(thing)  # fmt: skip


def place_of(thing: str) -> Place:
    """Return where along the bench a thing stands."""
    return "wall" if thing.startswith("print ") else AT_PLACE.get(thing, "enlarger")
