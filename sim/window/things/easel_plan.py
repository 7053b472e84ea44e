"""Where the easel lies on the screen: millimetres of the sheet's place to pixels and back."""

from __future__ import annotations

from dataclasses import dataclass

from pygame import Rect

from sim.window.kit.boxes import fit

MARGIN_SHARE = 0.06  # of the sheet's longer side, seen around it: blades, and the light that falls beside the paper
Piece = tuple[float, float, float, float]


@dataclass(frozen=True)
class EaselPlan:
    """The view of the easel on the screen, the region of the sheet's plane drawn in it (mm), and its scale."""

    view: Rect
    region_mm: Piece
    px_per_mm: float
    sheet_mm: tuple[float, float]

    def to_px(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return the screen point of a point of the sheet's place."""
        left, top = self.region_mm[:2]
        return self.view.x + round((x_mm - left) * self.px_per_mm), self.view.y + round((y_mm - top) * self.px_per_mm)

    def to_mm(self, pos: tuple[int, int]) -> tuple[float, float]:
        """Return the point of the sheet's place under a screen point, to a tenth of a mm."""
        left, top = self.region_mm[:2]
        x, y = (pos[0] - self.view.x) / self.px_per_mm + left, (pos[1] - self.view.y) / self.px_per_mm + top
        return round(x, 1), round(y, 1)

    def rect_px(self, x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> Rect:
        """Return the screen rectangle of a piece of the sheet's plane."""
        left, top = self.to_px(x_mm, y_mm)
        right, bottom = self.to_px(x_mm + width_mm, y_mm + height_mm)
        return Rect(left, top, max(1, right - left), max(1, bottom - top))


def easel_plan(area: Rect, sheet_mm: tuple[float, float]) -> EaselPlan:
    """Return the largest view of a sheet's place in an area."""
    wide, high = sheet_mm
    margin = MARGIN_SHARE * max(wide, high)
    region = (-margin, -margin, wide + 2 * margin, high + 2 * margin)
    view = fit(region[2:], area)
    return EaselPlan(view, region, view.w / region[2], sheet_mm)
