"""Every text can be read on every ground it may stand on, in both lights."""

from __future__ import annotations

import itertools

import pytest

from sim.window.kit.look import SIZES
from sim.window.theme import LEAST_CONTRAST, PALETTES, SAFELIGHT, TEXT_COLOURS, TEXT_GROUNDS, Palette, contrast


@pytest.mark.parametrize("palette", list(PALETTES.values()), ids=lambda p: p.name)
@pytest.mark.parametrize(("text", "ground"), list(itertools.product(TEXT_COLOURS, TEXT_GROUNDS)))
def test_text_has_enough_contrast(palette: Palette, text: str, ground: str) -> None:
    assert contrast(getattr(palette, text), getattr(palette, ground)) >= LEAST_CONTRAST


@pytest.mark.parametrize("palette", list(PALETTES.values()), ids=lambda p: p.name)
def test_lamps_and_focus_are_seen_on_every_ground(palette: Palette) -> None:
    for ground in TEXT_GROUNDS:  # WCAG 2.1, criterion 1.4.11: 3 to 1 for what is not text
        assert contrast(palette.focus, getattr(palette, ground)) >= 3.0
        assert contrast(palette.lamp, getattr(palette, ground)) >= 3.0


def test_contrast_has_the_values_of_its_definition() -> None:
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    assert contrast((119, 119, 119), (255, 255, 255)) == pytest.approx(4.48, abs=0.01)


def test_the_white_light_is_neutral_and_the_safelight_has_one_hue() -> None:
    white = PALETTES["white-light"]
    for name in ("ground", "panel", "raised", "sunk", "edge", "ink", "soft", "paper"):
        assert len(set(getattr(white, name))) == 1, name
    for name in ("ground", "panel", "raised", "edge", "ink", "soft", "faint", "lamp", "paper", "glow"):
        red, green, blue = getattr(SAFELIGHT, name)
        assert red > green > blue, name


def test_no_text_is_smaller_than_thirteen_pixels() -> None:
    assert min(size for size, _ in SIZES.values()) >= 13
