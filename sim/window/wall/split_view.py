"""Soft beside hard: two strips, a step chosen on each, and the plan that follows from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pygame
from pygame import Rect

from sim.notebook.exposure_plan import PlanBar, PlannedExposure
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface
from sim.window.wall.hanging import Hung, draw_hung, hang, wall_grey
from sim.window.wall.plan_drawing import draw_plan, plan_height

if TYPE_CHECKING:
    from sim.bench.wall import Wall, WallPrint

HARDNESS = ("00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5")


def hardness(setting: Any) -> float:
    """Return where a filter stands from soft (0) to hard (11); dialled yellow is soft, magenta hard."""
    if setting.graded is not None:
        return float(HARDNESS.index(setting.graded))
    return 5.5 + 4.0 * (setting.magenta - setting.yellow)


@dataclass(frozen=True)
class Half:
    """One strip of the pair: its print, filter and aperture, and the density of every step."""

    strip: WallPrint
    filter: str
    f_number: float
    densities: tuple[float, ...]

    def exposure(self, step: int, note: str) -> PlannedExposure:
        """Return the exposure that gives this strip's step to a whole sheet."""
        return PlannedExposure(round(self.strip.strip_steps[step].time_s, 2), self.f_number, self.filter, note=note)


def half_of(wall: Wall, strip: WallPrint) -> Half:
    """Return a strip with its readings. The last exposure is the one the steps were laid with."""
    last = wall.record(strip.number).exposures[-1]
    read = tuple(wall.read(strip.number, s.x_mm, s.y_mm).density for s in strip.strip_steps)
    return Half(strip, last.filter.name, last.f_number, read)


def pair_of(wall: Wall, prints: Sequence[WallPrint], pinned: Sequence[int]) -> tuple[Half, Half] | None:
    """Return the soft and the hard strip: the two pinned ones, else the latest two through different filters."""
    strips = [p for p in prints if len(p.strip_steps) >= 2 and p.developed]
    strips.sort(key=lambda p: (p.number in pinned, p.number), reverse=True)
    if len(strips) < 2:
        return None

    def level(p: WallPrint) -> float:
        return hardness(wall.record(p.number).exposures[-1].filter)

    first = strips[0]
    other = next((p for p in strips[1:] if level(p) != level(first)), None)
    if other is None:
        return None
    soft, hard = sorted((first, other), key=level)
    return half_of(wall, soft), half_of(wall, hard)


def plan_of(pair: tuple[Half, Half], soft: int, hard: int, t: Callable[..., str]) -> tuple[PlannedExposure, ...]:
    """Return the two exposures that the chosen steps amount to."""
    return pair[0].exposure(soft, t("soft")), pair[1].exposure(hard, t("hard"))


def plan_bars_of(plan: Sequence[PlannedExposure]) -> tuple[PlanBar, ...]:
    """Return the bars of a plan of which nothing has been given yet."""
    soft, hard = plan
    return (
        PlanBar("soft", soft.note, soft.filter, soft.f_number, 0.0, soft.time_s, None, 0, False),
        PlanBar("hard", hard.note, hard.filter, hard.f_number, soft.time_s, hard.time_s, None, 1, False),
    )


@dataclass(frozen=True, eq=False)
class SplitPicture:
    """The two strips hung side by side at one scale, with the room for their figures."""

    wall: Rect
    hung: tuple[Hung, Hung]
    pictures: tuple[pygame.Surface, pygame.Surface]
    plan: Rect


def split_picture(
    rect: Rect, look: Look, wall: Wall, pair: tuple[Half, Half], lux: float, wet: bool, shown: Sequence[PlanBar]
) -> SplitPicture:  # fmt: skip
    """Return where the strips hang and their pictures."""
    plan, body = cut_bottom(rect, plan_height(look, shown) + look.px(8), look.px(10))
    pair_hung, pictures = [], []
    for half, room in zip(pair, columns(body, [1, 1]), strict=True):
        room = room.inflate(-look.px(24), -look.px(16))
        _, room = cut_top(room, look.line_height("strong") + look.px(10))
        size = (half.strip.width_mm, half.strip.height_mm)
        figures = look.px(132) if size[1] >= size[0] else 0
        foot = look.px(4) if figures else 2 * look.line_height("small") + look.px(10)
        room = Rect(room.x, room.y, room.w - figures, room.h)
        hung, _ = hang(room, [(half.strip.number, *size)], 0, foot)
        pair_hung.append(hung[0])
    scale = min(h.rect.w / h.size_mm[0] for h in pair_hung)
    placed = []
    for hung in pair_hung:  # both at the smaller scale: sizes must not mislead
        rect_now = Rect(0, 0, round(hung.size_mm[0] * scale), round(hung.size_mm[1] * scale))
        rect_now.center = hung.rect.center
        placed.append(Hung(hung.number, rect_now, hung.size_mm))
        size_px = (max(8, rect_now.w), max(8, rect_now.h))
        picture = grey_surface(wall.picture(hung.number, size_px, wet=wet, viewing_lux=lux))
        pictures.append(picture if picture.get_size() == size_px else pygame.transform.smoothscale(picture, size_px))
    return SplitPicture(body, (placed[0], placed[1]), (pictures[0], pictures[1]), plan)


def draw_split(
    canvas: Canvas, shown: SplitPicture, pair: tuple[Half, Half], steps: tuple[int, int], lux: float,
    plan: Sequence[PlanBar], t: Callable[..., str],
) -> None:  # fmt: skip
    """Draw both strips with the seconds and readings of their steps, the chosen steps framed, and the plan below."""
    look = canvas.look
    titles = (t("Soft strip, filter {name}"), t("Hard strip, filter {name}"))
    pygame.draw.rect(canvas.surface, wall_grey(lux), shown.wall)
    for n, (half, room) in enumerate(zip(pair, columns(shown.wall, [1, 1]), strict=True)):
        band = Rect(room.x, room.y, room.w, look.line_height("strong") + look.px(10))
        pygame.draw.rect(canvas.surface, look.colour("panel"), band)
        words = titles[n].format(name=half.filter)
        canvas.text(words, (band.x + look.px(10), band.centery), "strong", "ink", "midleft", band.w - look.px(20), shorten=True)
        draw_hung(canvas, shown.hung[n], shown.pictures[n])
        _draw_figures(canvas, shown.hung[n], half, steps[n])
    draw_plan(canvas, shown.plan.inflate(-look.px(8), 0), plan, t)


def _draw_figures(canvas: Canvas, hung: Hung, half: Half, chosen: int) -> None:
    look = canvas.look
    steps = half.strip.strip_steps
    down = hung.size_mm[1] >= hung.size_mm[0]
    every = len(steps)
    for n, step in enumerate(steps):
        x = hung.rect.x + round(step.x_mm / hung.size_mm[0] * hung.rect.w)
        y = hung.rect.y + round(step.y_mm / hung.size_mm[1] * hung.rect.h)
        part = (hung.rect.h if down else hung.rect.w) / every
        frame = Rect(0, 0, hung.rect.w, round(part)) if down else Rect(0, 0, round(part), hung.rect.h)
        frame.center = (hung.rect.centerx, y) if down else (x, hung.rect.centery)
        picked = n == chosen
        if picked:
            pygame.draw.rect(canvas.surface, (0, 0, 0), frame.inflate(look.px(4), 0), look.px(3))
            pygame.draw.rect(canvas.surface, (255, 255, 255), frame.inflate(look.px(2), -look.px(2)), look.px(1))
        words = f"{step.time_s:.1f} s   D {half.densities[n]:.2f}"
        if down:
            wide, high = look.width(words, "small") + look.px(14), look.line_height("small") + look.px(4)
            plate = Rect(hung.rect.right + look.px(8), 0, wide, high)
            plate.centery = y
            pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(3))
            canvas.text(words, plate.center, "small", "ink" if picked else "soft", "center")
        else:
            top = hung.rect.bottom + look.px(6)
            for line in (f"{step.time_s:.1f} s", f"D {half.densities[n]:.2f}"):
                wide = look.width(line, "small") + look.px(6)
                plate = Rect(x - wide // 2, top, wide, look.line_height("small"))
                pygame.draw.rect(canvas.surface, look.colour("sunk"), plate)
                canvas.text(line, plate.center, "small", "ink" if picked else "soft", "center")
                top += look.line_height("small")
