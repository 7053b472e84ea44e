"""What is told of an enlarger of one's own: how it stands to what was known before, how sure that is, what would improve it."""

from __future__ import annotations

from sim.calibration.own_curves import NINETY
from sim.calibration.own_enlarger import OwnEnlarger
from sim.calibration.print_scatter import nine_of_ten_within
from sim.calibration.right_prints import LEVEL_PRIOR, STOP
from sim.enlarger.equipment import Head
from sim.enlarger.own_light import OwnLight
from sim.notebook.safelight_words import COIN_SHARE

IMPROVES = {
    "filters": "patches behind other filters: what each really costs",
    "marks": "patches at other apertures: the ring's true stops",
    "height": "patches at a second height: the law of size",
    "dead time": "ten bursts of 1 s beside one of 10 s: what lamp and timer lose at a switching",
    "head": "clear film and a dense film step in the carrier, beside a known wedge: whether its light is directed",
    "corners": "a bare grey read in a corner too, off_mm from the middle: the fall-off, in prints as well",
}


def begun_from(name: str, head: Head, earlier: Head | None, found: OwnEnlarger) -> str:
    """Return in words whether an enlarger is new, added to, or measured anew, and from how many prints it is known."""
    prints = len(found.light.prints)
    nothing = "known from patches" if found.light.level_error < LEVEL_PRIOR else "nothing is known of its light yet"
    one_or_more = "known from 1 print that was right" if prints == 1 else f"known from {prints} prints that were right"
    known = one_or_more if prints else nothing
    if earlier is None:
        return f"own:{name} is new, begun from {head.title.lower()}; {known}."
    before = len(earlier.own.prints) if earlier.own is not None else 0
    if head.name == earlier.name:
        way = "added to" if prints > before else "kept" if prints == before else "kept, with a print fewer"
        return f"own:{name} was on your shelf and is {way}: now {known} (before: {before})."
    return (
        f"own:{name} was on your shelf and is begun anew from {head.title.lower()}: {known}. What {before} prints and other "
        "readings had told of it before is no longer in it."
    )


def _level_told(head: Head, found: OwnEnlarger) -> tuple[str, float]:
    """Return what the light is told against, in words, and by how much (log10) it is more than that.

    The head's file may be the enlarger's own of before: a level found is more than that file's. What it was begun from still
    stands where its light is known from one print and from nothing else.
    """
    light = found.light
    if head.own is None:
        return "the head begun from", found.log_level
    if len(light.prints) == 1 and light.begun is not None and light.begun.level_error >= LEVEL_PRIOR:
        return "the head begun from", -light.begun.log_level
    return "what was known before", found.log_level


def told(head: Head, found: OwnEnlarger) -> list[str]:
    """Return in words what was found, with the head it was found from, and what another reading would improve."""
    light, stop = found.light, STOP
    next_one = light.next_print(light.reference_filter, light.reference_mark, light.reference_magnification)
    since, log_level = _level_told(head, found)
    lines = [
        f"Light against {since}: {log_level / stop:+.2f} stop. Nine of ten prints behind filter "
        f"{light.reference_filter} at f/{light.reference_mark:g} and this size will be right within "
        f"±{nine_of_ten_within(*next_one) / stop:.2f} stop, on {light.paper}."
    ]
    if len(light.prints) > 1:
        lines.append(
            f"Single prints scatter by {light.scatter / stop:.2f} stop, as far as these {len(light.prints)} tell; taken rather "
            "too large than too small, so that the interval holds where prints scatter much as well."
        )
    lines += [
        f"Filter {f.name}: {f.log_factor / stop:+.2f} ± {NINETY * f.error / stop:.2f} stop." for f in light.filters
    ]
    lines += [f"Mark f/{m.name}: {m.log_factor / stop:+.2f} ± {NINETY * m.error / stop:.2f} stop." for m in light.marks]
    if "height" not in found.left_open:
        lines.append(f"Law of size: twice (magnification + 1) costs {2.0 - light.power:.2f} stops instead of 2.")
    if found.dead_time_s is not None:
        lines.append(f"Lost at a switching: {found.dead_time_s:.2f} s.")
    lines += _head_type(found)
    lines += _corners_and_safelight(light)
    lines += [f"Would improve it: {IMPROVES[name]}." for name in found.left_open if name in IMPROVES]
    return lines


def _head_type(found: OwnEnlarger) -> list[str]:
    """Return in words whether the head's light is directed or diffuse, where film steps tell it."""
    cone = found.cone
    if cone is None:
        return []
    denser = f"density 1 of film prints as {cone.quotient:.2f} ({cone.least:.2f} to {cone.most:.2f} in nine of ten)"
    if not cone.directed:
        return [f"Head: diffusion, not told from it by {cone.count} film steps; {denser}."]
    angle = f"half its cone {cone.half_angle_deg:.0f} ± {NINETY * cone.error_deg:.0f} degrees"
    return [f"Head: directed light, as a condenser gives, {angle}; {denser}: negatives print harder in it."]


def _corners_and_safelight(light: OwnLight) -> list[str]:
    """Return in words how dark the corners are, and how long paper may lie under the safelight."""
    lines, stop = [], STOP
    if light.corner_stops is not None:
        where = "" if light.uneven_mm is None else f", {light.uneven / stop:.2f} of it the head's; prints and maps have it too"
        lines.append(f"Corners: {light.corner_stops:.2f} stop less light than in the middle{where}.")
        if light.uneven_mm is None:
            lines.append("Say off_mm, how far from the middle the corner was read, and prints with this head have it too.")
    if light.safe_min is not None:
        seen = "" if light.marked_min is None else f", a mark after {light.marked_min:g}"
        lines.append(
            f"Safelight: no mark after {light.safe_min:g} min{seen}. Keep paper under it for half of the time without a mark, "
            f"{COIN_SHARE * light.safe_min:g} min with developing and all, at the place where the coin lay."
        )
    return lines
