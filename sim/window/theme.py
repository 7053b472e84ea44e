"""The two lights of the room as colours: amber on warm dark while paper is out, neutral grey for looking at prints.

No meaning is carried by colour alone: lamps are filled or hollow, choices are notched, warnings carry a sign.
"""

from __future__ import annotations

from dataclasses import dataclass

Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Palette:
    """Colours by use. Text stands in ``ink``, ``soft`` or ``warn`` only, on ``ground``, ``panel``, ``raised`` or ``sunk``."""

    name: str
    ground: Colour
    panel: Colour
    raised: Colour
    sunk: Colour
    edge: Colour
    ink: Colour
    soft: Colour
    faint: Colour
    lamp: Colour
    lamp_off: Colour
    focus: Colour
    warn: Colour
    shade: Colour
    paper: Colour
    glow: Colour


SAFELIGHT = Palette(
    name="safelight",
    ground=(17, 10, 6), panel=(27, 17, 10), raised=(50, 31, 18), sunk=(11, 6, 4), edge=(96, 59, 31),
    ink=(255, 186, 106), soft=(219, 149, 78), faint=(132, 82, 42), lamp=(255, 205, 132), lamp_off=(62, 36, 19),
    focus=(255, 224, 168), warn=(255, 214, 150), shade=(5, 3, 2), paper=(255, 160, 72), glow=(96, 46, 14),
)  # fmt: skip

WHITE_LIGHT = Palette(
    name="white-light",
    ground=(72, 72, 72), panel=(58, 58, 58), raised=(84, 84, 84), sunk=(44, 44, 44), edge=(128, 128, 128),
    ink=(244, 244, 244), soft=(212, 212, 212), faint=(140, 140, 140), lamp=(255, 255, 255), lamp_off=(52, 52, 52),
    focus=(255, 255, 255), warn=(255, 255, 255), shade=(30, 30, 30), paper=(236, 236, 236), glow=(96, 96, 96),
)  # fmt: skip

RED_LIGHT = Palette(
    name="red-light",
    ground=(18, 5, 4), panel=(29, 9, 7), raised=(54, 16, 13), sunk=(11, 3, 3), edge=(112, 32, 26),
    ink=(255, 150, 132), soft=(232, 122, 104), faint=(140, 48, 40), lamp=(255, 178, 160), lamp_off=(66, 20, 16),
    focus=(255, 206, 192), warn=(255, 190, 174), shade=(6, 2, 2), paper=(255, 92, 72), glow=(104, 20, 14),
)  # fmt: skip

PALETTES = {one.name: one for one in (SAFELIGHT, WHITE_LIGHT, RED_LIGHT)}
TEXT_COLOURS = ("ink", "soft", "warn")
TEXT_GROUNDS = ("ground", "panel", "raised", "sunk")
LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3
# What amber light leaves of white, as shares of the screen's primaries: one hue for the whole working side.
SAFELIGHT_TINT: Colour = (255, 158, 70)


def relative_luminance(colour: Colour) -> float:
    """Return the relative luminance of a screen colour, 0 to 1 (WCAG 2.1, definition of relative luminance)."""
    linear = [c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    light, dark = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
