"""What a sheet changed against the one before, in the notebook's own words: decisions with their sizes, no verdict."""

from __future__ import annotations

from sim.notebook.record_words import changes, exposure_words, strip_lines
from sim.printing.record import PrintingRecord
from sim.scoring.burn_stops import burn_of

MOST_CHANGES = 8
MOST_EXPOSURES = 4  # of a first sheet; a strip has more, and they say themselves


def changes_between(before: PrintingRecord | None, after: PrintingRecord) -> list[str]:
    """Return what was decided differently; for a first sheet (``before`` None) how it was exposed."""
    if before is None:
        strip = strip_lines(after)
        if strip:
            return strip
        words = [exposure_words(one, burn_of(after.exposures, k)) for k, one in enumerate(after.exposures)]
        more = [f"and {len(words) - MOST_EXPOSURES} exposures more"] if len(words) > MOST_EXPOSURES else []
        return words[:MOST_EXPOSURES] + more
    found = changes(before, after)
    more = [f"and {len(found) - MOST_CHANGES} changes more"] if len(found) > MOST_CHANGES else []
    return [*found[:MOST_CHANGES], *more] or ["nothing changed: the same decisions again"]
