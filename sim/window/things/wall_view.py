"""Where one looks on the wall: which of its millimetres is in the middle of the view, and how large a millimetre is drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pygame import Rect

from sim.window.kit.boxes import stood

LEAST_SCALE, MOST_SCALE = 0.25, 60.0  # px per mm: the whole wall, and grain
AROUND_MM = 22.0


@dataclass(frozen=True)
class WallView:
    """A view of the wall: what is in its middle, and how large."""

    x_mm: float = 0.0
    y_mm: float = 0.0
    px_per_mm: float = 2.0

    def to_px(self, area: Rect, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return the screen point of a point of the wall."""
        return (
            round(area.centerx + (x_mm - self.x_mm) * self.px_per_mm), round(area.centery + (y_mm - self.y_mm) * self.px_per_mm)
        )  # fmt: skip

    def to_mm(self, area: Rect, pos: tuple[int, int]) -> tuple[float, float]:
        """Return the point of the wall under a screen point."""
        return self.x_mm + (pos[0] - area.centerx) / self.px_per_mm, self.y_mm + (pos[1] - area.centery) / self.px_per_mm

    def rect(self, area: Rect, x_mm: float, y_mm: float, wide_mm: float, high_mm: float) -> Rect:
        """Return the screen rectangle of something whose middle hangs at a point of the wall."""
        size = round(wide_mm * self.px_per_mm), round(high_mm * self.px_per_mm)
        return stood(size, "center", self.to_px(area, x_mm, y_mm))

    def zoomed(self, area: Rect, at: tuple[int, int], times: float) -> WallView:
        """Return the view nearer or farther, the point under the hand staying where it is."""
        scale = min(MOST_SCALE, max(LEAST_SCALE, self.px_per_mm * times))
        x, y = self.to_mm(area, at)
        return WallView(x - (at[0] - area.centerx) / scale, y - (at[1] - area.centery) / scale, scale)

    def moved(self, dx_px: float, dy_px: float) -> WallView:
        """Return the view after the wall was dragged."""
        return replace(self, x_mm=self.x_mm - dx_px / self.px_per_mm, y_mm=self.y_mm - dy_px / self.px_per_mm)


def view_of(area: Rect, boxes_mm: Iterable[tuple[float, float, float, float]]) -> WallView:
    """Return the view that shows boxes (middle x, middle y, width, height in mm) as large as the area allows."""
    boxes = list(boxes_mm)
    if not boxes:
        return WallView()
    left, right = min(x - w / 2 for x, _, w, _ in boxes) - AROUND_MM, max(x + w / 2 for x, _, w, _ in boxes) + AROUND_MM
    top, bottom = min(y - h / 2 for _, y, _, h in boxes) - AROUND_MM, max(y + h / 2 for _, y, _, h in boxes) + AROUND_MM
    scale = min(area.w / (right - left), area.h / (bottom - top))
    return WallView((left + right) / 2, (top + bottom) / 2, min(MOST_SCALE, max(LEAST_SCALE, scale)))
