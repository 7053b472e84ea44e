"""Pictures from arrays: grey levels to a surface, and a live picture whose pixels are shared with numpy."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from sim.window.theme import Colour

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class LivePicture:
    """A picture computed anew every frame: ``pixels`` [row, col] is the very memory of ``surface``, nothing is copied.

    Write ``pixels`` with ``np.take(table, indices, out=picture.pixels, mode="clip")`` where the table holds blue +
    256 green + 65536 red.
    """

    def __init__(self, width: int, height: int):
        import numpy as np

        self.pixels: NDArray[np.uint32] = np.zeros((height, width), np.dtype("<u4"))
        self.surface = pygame.image.frombuffer(self.pixels, (width, height), "BGRA")  # type: ignore[arg-type]
        self.surface.set_alpha(None)  # the fourth byte is no transparency


def tint_table(tint: Colour = (255, 255, 255)) -> NDArray[np.uint32]:
    """Return 256 colours from black to ``tint``, as ``LivePicture.pixels`` wants them."""
    import numpy as np

    levels = np.arange(256, dtype=np.uint32)
    red, green, blue = ((levels * c + 127) // 255 for c in tint)
    return (blue + 256 * green + 65536 * red).astype(np.dtype("<u4"))


def grey_surface(levels: NDArray[np.uint8], tint: Colour = (255, 255, 255)) -> pygame.Surface:
    """Return a surface of grey levels [row, col], seen in white light or through the tint of the safelight."""
    import numpy as np

    picture = LivePicture(levels.shape[1], levels.shape[0])
    opaque = tint_table(tint) | np.uint32(0xFF000000)  # a copy no longer ignores the fourth byte
    np.take(opaque, levels, out=picture.pixels, mode="clip")
    return picture.surface.copy()


def scaled(surface: pygame.Surface, size: tuple[int, int]) -> pygame.Surface:
    """Return the surface at another size, smoothly; the caller keeps it."""
    wide, high = max(1, int(size[0])), max(1, int(size[1]))
    if (wide, high) == surface.get_size():
        return surface
    return pygame.transform.smoothscale(surface, (wide, high))
