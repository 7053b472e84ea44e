"""What light a print had: seconds through each filter, whether cards worked in it, and a development too short or too long."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.strips import stepped_light
from sim.scoring.burn_stops import is_burn

FULL_SHARE, LONG_SHARE = 0.97, 1.5  # of the developer's own time: less than the first, more than the second is said


@dataclass(frozen=True)
class LightOfPrint:
    """Seconds through each filter, of a sheet its burns left out.

    ``flash_s``: seconds without the negative; ``short_s`` and ``long_s``: seconds in the developer, where they were too few, or
    far too many, else 0.
    No seconds: a strip that was flashed only.
    """

    seconds: tuple[tuple[str, float], ...]
    held_back: bool
    burnt_in: bool
    short_s: float
    flash_s: float = 0.0
    long_s: float = 0.0


def light_of(record: PrintingRecord) -> LightOfPrint:
    """Return a print's light from its record; of a strip what its last step had."""
    strip = record.sheet.kind == "strip"
    if record.strip is not None:
        last = stepped_light(record.strip, record.strip.times_s[-1])
        record = replace(record, strip=None, exposures=(*record.strip.each, last))
    picture = [(k, e) for k, e in enumerate(record.exposures) if e.through == "negative"]
    mains = [e for k, e in picture if strip or not is_burn(e, k)]
    seconds: dict[str, float] = {}
    for light in mains:
        seconds[light.filter.name] = seconds.get(light.filter.name, 0.0) + light.time_s
    had, full = record.development.time_s, find_stock(record.sheet.paper).development.completion_time_s
    held = not strip and any(light.cards for light in mains)
    short_s, long_s = (had if off else 0.0 for off in (0.0 < had < FULL_SHARE * full, had > LONG_SHARE * full))
    flash_s = sum(e.time_s for e in record.exposures if e.through == "open")
    return LightOfPrint(tuple(seconds.items()), held, len(mains) < len(picture), short_s, flash_s, long_s)
