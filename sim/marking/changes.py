"""What a sheet changed against the one before, in a printer's words: the decision with its size, no verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sim.printing.record import Exposure, PrintingRecord

MOST_CHANGES = 8


def changes_between(before: PrintingRecord | None, after: PrintingRecord) -> list[str]:
    """Return what was decided differently; for a first sheet (``before`` None) how it was exposed."""
    if before is None:
        return [_exposure_words(after.exposures)]
    found = [*_set_up_changes(before, after), *_exposure_changes(before.exposures, after.exposures)]
    return found[:MOST_CHANGES] or ["nothing changed: the same decisions again"]


def _set_up_changes(before: PrintingRecord, after: PrintingRecord) -> Iterator[str]:
    if before.negative != after.negative:
        yield "another negative"
    if before.sheet.kind != after.sheet.kind:
        yield "a strip" if after.sheet.kind == "strip" else "a whole sheet"
    elif (before.sheet.width_mm, before.sheet.height_mm) != (after.sheet.width_mm, after.sheet.height_mm):
        yield f"paper {after.sheet.width_mm:g} x {after.sheet.height_mm:g} mm"
    if before.sheet.paper != after.sheet.paper:
        yield f"paper {after.sheet.paper}"
    old, new = before.enlarger, after.enlarger
    for label, was, now, unit in (
        ("column", old.height_mm, new.height_mm, "mm"),
        ("focus", old.focus_offset_mm, new.focus_offset_mm, "mm"),
        ("easel tilt", old.easel_tilt_deg, new.easel_tilt_deg, "degrees"),
        ("carrier tilt", old.negative_tilt_deg, new.negative_tilt_deg, "degrees"),
        ("developer", before.development.time_s, after.development.time_s, "s"),
        ("developer warmth", before.development.temperature_c, after.development.temperature_c, "degrees C"),
    ):
        if not math.isclose(was, now, abs_tol=1e-6):
            yield f"{label} {was:g} to {now:g} {unit}"
    for label, was_word, now_word in (("head", old.head, new.head), ("lens", old.lens, new.lens),
                                      ("carrier", old.carrier, new.carrier)):  # fmt: skip
        if was_word != now_word:
            yield f"{label} {now_word}"


def _exposure_changes(before: tuple[Exposure, ...], after: tuple[Exposure, ...]) -> Iterator[str]:
    if len(before) != len(after):
        yield f"{len(before)} to {len(after)} exposures: {_exposure_words(after)}"
        return
    for number, (was, now) in enumerate(zip(before, after, strict=True), start=1):
        which = f"exposure {number}: " if len(after) > 1 else ""
        if not math.isclose(was.time_s, now.time_s, abs_tol=1e-6):
            yield f"{which}{was.time_s:.4g} to {now.time_s:.4g} s ({math.log2(now.time_s / was.time_s):+.2f} stop)"
        if was.f_number != now.f_number:
            yield f"{which}aperture f/{was.f_number:g} to f/{now.f_number:g}"
        if was.filter != now.filter:
            yield f"{which}{was.filter.label()} to {now.filter.label()}"
        if was.cards != now.cards:
            yield f"{which}{_card_words(len(was.cards), len(now.cards))}"


def _card_words(was: int, now: int) -> str:
    if now == was:
        return "card held or moved differently" if now == 1 else "cards held or moved differently"
    if now > was:
        return "one card more" if now - was == 1 else f"{now - was} cards more"
    return "one card fewer" if was - now == 1 else f"{was - now} cards fewer"


def _exposure_words(exposures: tuple[Exposure, ...]) -> str:
    shown = [
        f"{e.time_s:.4g} s at f/{e.f_number:g}, {e.filter.label()}"
        + (f", {len(e.cards)} card{'s' if len(e.cards) > 1 else ''}" if e.cards else "")
        for e in exposures[:4]
    ]
    more = f" and {len(exposures) - 4} more" if len(exposures) > 4 else ""
    return " + ".join(shown) + more
