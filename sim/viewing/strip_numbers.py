"""Step numbers on the picture of a strip: small plates at its edge, the first step is 1, as a printer pencils them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.printing.make_print import Print
from sim.printing.strips import Step

FONT_FILE = Path(__file__).parents[1] / "fonts" / "DejaVuSans-Bold.ttf"
PLATE_MM, LEAST_PLATE_PX = 6.0, 14
MOUNT, MOUNT_PX, CAPTION_PX = 200, 8, 34
PLATE, FIGURE = 235, 25  # screen values: readable on the lightest step and on the darkest


def captioned(values: NDArray[np.uint8], text: str, width: int) -> NDArray[np.uint8]:
    """Return a small print's picture on a mount of so many pixels, with a line of text under it."""
    from PIL import Image, ImageDraw, ImageFont

    side = (width - values.shape[1]) // 2
    image = Image.new("L", (width, values.shape[0] + MOUNT_PX + CAPTION_PX), MOUNT)
    image.paste(Image.fromarray(values), (side, MOUNT_PX))
    draw, size = ImageDraw.Draw(image), CAPTION_PX // 2
    while size > 9 and draw.textlength(text, ImageFont.truetype(str(FONT_FILE), size)) > width - 2 * MOUNT_PX:
        size -= 1
    middle = values.shape[0] + MOUNT_PX + CAPTION_PX // 2
    draw.text((width // 2, middle), text, fill=FIGURE, font=ImageFont.truetype(str(FONT_FILE), size), anchor="mm")
    return np.asarray(image)


def numbered(values: NDArray[np.uint8], sheet: Print, steps: Sequence[Step]) -> NDArray[np.uint8]:
    """Return a strip's screen picture [row, col] with the number of every step at its edge; as it is without steps.

    The picture may be the print made smaller. The plates lie where each step's middle line meets the piece's edge, at the top
    or at the right; nothing is read from this picture.
    """
    if len(steps) < 2:
        return values
    from PIL import Image, ImageDraw, ImageFont

    image = Image.fromarray(values)
    draw = ImageDraw.Draw(image)
    scale = image.width / sheet.density.shape[1]
    side = max(LEAST_PLATE_PX, round(PLATE_MM * sheet.grid.px_per_mm * scale))
    font = ImageFont.truetype(str(FONT_FILE), max(9, round(0.68 * side)))
    for step in steps:
        row, col = (round(scale * at) for at in sheet.at(*step.edge_mm))
        x, y = (min(max(at, side // 2), size - 1 - side // 2) for at, size in ((col, image.width), (row, image.height)))
        draw.rectangle((x - side // 2, y - side // 2, x + side // 2, y + side // 2), fill=PLATE)
        draw.text((x, y), str(step.number), fill=FIGURE, font=font, anchor="mm")
    return np.asarray(image)
