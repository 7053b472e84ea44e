"""Light and shade on drawn things: round metal, the warm pool of the safelight, soft shadows. Made once, then kept."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect

from sim.window.kit.look import Look
from sim.window.theme import Colour

FINER = 3  # small things are drawn this many times too large and brought down, so that slanting edges are clean


def mixed(one: Colour, other: Colour, share: float) -> Colour:
    """Return a colour between two: ``share`` 0 is the first, 1 the second."""
    part = max(0.0, min(1.0, share))
    red, green, blue = (round(a + (b - a) * part) for a, b in zip(one, other))
    return red, green, blue


def smooth(size: tuple[int, int], draw: Callable[[pygame.Surface, int], None]) -> pygame.Surface:
    """Return a picture with clean edges: ``draw(surface, times)`` draws it ``times`` too large."""
    wide, high = max(1, size[0]), max(1, size[1])
    big = pygame.Surface((wide * FINER, high * FINER), pygame.SRCALPHA)
    draw(big, FINER)
    return pygame.transform.smoothscale(big, (wide, high))


def round_metal(size: tuple[int, int], dark: Colour, light: Colour, bright_at: float = 0.36) -> pygame.Surface:
    """Return a standing cylinder: dark at its edges, a soft bright line at a share of its width."""
    picture = pygame.Surface((max(1, size[0]), max(1, size[1])))
    for x in range(picture.get_width()):
        across = (x + 0.5) / picture.get_width()
        away = (across - bright_at) / (bright_at if across < bright_at else 1.0 - bright_at)
        pygame.draw.line(picture, mixed(light, dark, abs(away) ** 1.3), (x, 0), (x, picture.get_height()))
    return picture


def pool_of_light(look: Look, size: tuple[int, int], bright: tuple[float, float]) -> pygame.Surface:
    """Return the wall behind the bench: ground colour with a warm pool around a point given as shares of the size.

    Levels are broken up by a fixed pattern, so that the slow fall-off shows no bands.
    """
    import numpy as np

    wide, high = max(1, size[0]), max(1, size[1])
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    away = np.hypot((x / wide - bright[0]) * 1.1, (y / high - bright[1]) * 1.0)
    share = np.clip(1.0 - away / 0.95, 0.0, 1.0) ** 2 * 0.55
    ground = np.array(look.colour("ground"), dtype=np.float32)
    glow = np.array(look.colour("glow"), dtype=np.float32)
    grain = np.random.Generator(np.random.PCG64(7)).random((high, wide), dtype=np.float32)
    levels = ground + share[..., None] * (glow - ground) + grain[..., None]
    picture = pygame.Surface((wide, high))
    pygame.surfarray.blit_array(picture, np.clip(levels, 0, 255).astype(np.uint8).swapaxes(0, 1))
    return picture


def soft_shadow(size: tuple[int, int], spread: int, depth: int = 150) -> pygame.Surface:
    """Return the shadow that a plate of this size throws on the bench, ``spread`` pixels soft all round."""
    import numpy as np

    wide, high = size[0] + 2 * spread, size[1] + 2 * spread

    def ramp(n: int) -> np.ndarray:
        inwards = np.minimum(np.arange(n), np.arange(n)[::-1]) + 0.5
        part = np.clip(inwards / (2.0 * spread), 0.0, 1.0)
        return part * part * (3.0 - 2.0 * part)

    alpha = np.outer(ramp(wide), ramp(high)) * depth
    picture = pygame.Surface((wide, high), pygame.SRCALPHA)
    picture.fill((0, 0, 0, 0))
    pixels = pygame.surfarray.pixels_alpha(picture)
    pixels[:] = alpha.astype(np.uint8)
    del pixels
    return picture


def disc(look: Look, side: int, colour: Colour = (255, 255, 255)) -> pygame.Surface:
    """Return a round plate with a clean edge, made once."""

    def draw(big: pygame.Surface, n: int) -> None:
        middle = big.get_width() // 2
        pygame.draw.circle(big, (*colour, 255), (middle, middle), middle)

    return look.keep(("disc", side, colour), lambda: smooth((side, side), draw))


def in_a_glass(look: Look, picture: pygame.Surface, side: int) -> pygame.Surface:
    """Return the middle of a picture as it is seen through a round glass."""
    seen = pygame.Surface((side, side), pygame.SRCALPHA)
    seen.blit(picture, picture.get_rect(center=(side // 2, side // 2)))
    seen.blit(disc(look, side), (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    return seen


def glow_round(size: tuple[int, int], spread: int, colour: Colour, depth: int = 30) -> pygame.Surface:
    """Return the stray light around something lit: strongest at its edge, gone ``spread`` pixels away. To be added."""
    import numpy as np

    wide, high = size[0] + 2 * spread, size[1] + 2 * spread
    across = np.maximum(0, np.abs(np.arange(wide) - (wide - 1) / 2) - size[0] / 2) / spread
    down = np.maximum(0, np.abs(np.arange(high) - (high - 1) / 2) - size[1] / 2) / spread
    share = np.clip(1.0 - np.hypot(across[:, None], down[None, :]), 0.0, 1.0) ** 2 * (depth / 255.0)
    grain = np.random.Generator(np.random.PCG64(11)).random(share.shape)[..., None]
    picture = pygame.Surface((wide, high))
    levels = share[..., None] * np.array(colour) + grain * (share[..., None] > 0)
    pygame.surfarray.blit_array(picture, levels.astype(np.uint8))
    return picture


def cast(surface: pygame.Surface, look: Look, rect: Rect, spread: float = 10, drop: float = 4) -> None:
    """Draw the shadow under a plate before the plate is drawn."""
    wide = look.px(spread)
    picture = look.keep(("cast", rect.size, wide), lambda: soft_shadow(rect.size, wide))
    surface.blit(picture, (rect.x - wide, rect.y - wide + look.px(drop)))
