"""Small pictures of prints for pages: JPEG of a modest size, as they look under white light."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np

from sim.printing.make_print import Print
from sim.printing.strips import Step
from sim.viewing.lightness import screen_values
from sim.viewing.strip_numbers import numbered

LARGE_PX, SMALL_PX, THUMB_PX = 600, 260, 132
QUALITY = 82


def jpeg_of(sheet: Print, longest_px: int, steps: Sequence[Step] = ()) -> bytes:
    """Return a print as a grey JPEG whose longer side has at most so many pixels; a strip's steps get their numbers."""
    from PIL import Image

    image = Image.fromarray(screen_values(sheet.density))
    longest = max(image.size)
    if longest >= 2 * longest_px:  # means of whole blocks first: most of the work at a tenth of its price
        image = image.reduce(longest // longest_px)
    if max(image.size) > longest_px:
        share = longest_px / max(image.size)
        size = (max(1, round(image.width * share)), max(1, round(image.height * share)))
        image = image.resize(size, Image.Resampling.BILINEAR, reducing_gap=None)
    if steps:
        image = Image.fromarray(numbered(np.asarray(image), sheet, steps))
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=QUALITY)
    return buffer.getvalue()
