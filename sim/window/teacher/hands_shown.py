"""A worked example: hands go along the bench, slowly, and think aloud; they can be stopped, and leave the bench as it was."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Literal

import pygame
from pygame import Rect, Surface

from sim.refusals import Refusal, Refused
from sim.teaching.lesson import LessonRun
from sim.teaching.strip_verdict import deciding_place
from sim.teaching.worked_example import Played
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import mixed, smooth
from sim.window.standing.room import OneRoom
from sim.window.teacher.spots import bands, draw_plate
from sim.window.teacher.target import target_of
from sim.window.things.easel import Easel
from sim.window.things.filters import stamped

GLIDE_S, LEAST_S, S_A_CHARACTER = 0.7, 2.2, 0.05
STEP_S, SHEET_S, WALK_S = 0.6, 3.0, 2.4  # how long the hands show a step, an exposure, the way to the trays
TURNED = {"timer": "time_s", "aperture": "f_number", "filter": "filter", "head": "height_mm"}
HAND = 54  # logical units across
EVERYTHING = ("time_s", "f_number", "filter", "height_mm", "focus_offset_mm", "cards", "exposures", "flash")


@dataclass(frozen=True)
class Act:
    """One thing the hands do: at which thing, what is thought, which control is turned to what."""

    at: str
    words: str
    seconds: float
    turned: tuple[str, str | float] | None = None
    kind: Literal["think", "light", "walk"] = "think"


def acts_of(room: OneRoom, played: Played) -> tuple[Act, ...]:
    """Return what the hands do for a piece of paper: every decision at its thing, then paper, light, trays."""
    record = played.record
    acts: list[Act] = []
    first = record.exposures[0]
    values: dict[str, str | float] = {
        "time_s": first.time_s, "f_number": first.f_number, "filter": first.filter.name,
        "height_mm": record.enlarger.height_mm,
    }  # fmt: skip
    for words in played.words:
        at = target_of(words, EVERYTHING)
        control = TURNED.get(at, "")
        seconds = max(LEAST_S, S_A_CHARACTER * len(words))
        acts.append(Act(at, words, seconds, (control, values[control]) if control and record.strip is None else None))
    if record.strip is not None:
        acts.append(Act("easel", room.line("hands strip"), STEP_S * len(record.strip.times_s), kind="light"))
    else:
        acts.append(Act("easel", room.line("hands sheet"), SHEET_S * len(record.exposures), kind="light"))
    return (*acts, Act("trays", room.line("hands trays"), WALK_S, kind="walk"))


class HandsShown:
    """The hands under way. ``find`` says where a thing stands; when they are done the lesson has its piece of paper."""

    def __init__(self, room: OneRoom, find: Callable[[str], Rect], easel: Callable[[], Easel | None]):
        self.room, self._find, self._easel = room, find, easel
        self.acts: tuple[Act, ...] = ()
        self._played: Played | None = None
        self._n, self._s = 0, 0.0
        self._at: tuple[float, float] = (0.0, 0.0)
        self._from: tuple[float, float] = (0.0, 0.0)
        self._before: list[tuple[str, str | float | bool]] = []
        self._ready = False
        self._inside = Rect(0, 0, 0, 0)  # the place that is seen

    @property
    def busy(self) -> bool:
        """Whether hands are at work."""
        return self._played is not None

    @property
    def act(self) -> Act:
        """What they do now."""
        return self.acts[min(self._n, len(self.acts) - 1)]

    def begin(self, run: LessonRun) -> None:
        """Begin to show the next piece of paper. Raises Refused while the learner's own lies on the easel."""
        if self.room.darkroom.paper.piece is not None:
            if self.room.darkroom.paper.piece.exposures:
                raise Refused(self.room.line("hands full"))
            self.room.darkroom.paper.put_back()
        self._played = run.plan[run.made]
        self.acts, self._n, self._s, self._before = acts_of(self.room, self._played), 0, 0.0, []
        self._at = self._from = self._middle(self.acts[0].at)
        self.room.wanted_place = "enlarger"
        self.room.guarded(lambda: self.room.darkroom.switch_white_light(False))
        self._turn("focus_light", True)

    def _middle(self, at: str) -> tuple[float, float]:
        rect, large = self._find(at), self.room.px(300)
        if max(rect.size) > large:
            return float(rect.centerx), float(rect.centery)
        return rect.x + 0.8 * rect.w, rect.y + 0.7 * rect.h  # beside what is to be read there

    def _turn(self, control: str, value: str | float | bool) -> None:
        """Turn a control for all to see; what is locked stays as it is."""
        desk = self.room.darkroom.desk
        before = desk.control(control).value
        try:
            desk.set(control, value, settle=False)
        except Refusal:
            return
        self._before.append((control, before))

    def _put_back(self) -> None:
        """Leave the bench as it was: what the hands decided is not the learner's decision."""
        desk = self.room.darkroom.desk
        for control, value in reversed(self._before):
            self.room.guarded(partial(desk.set, control, value, False))
        self._before = []
        desk.settle()

    def stop(self) -> None:
        """Let the hands rest; nothing was made."""
        if self.busy:
            self._played, self._ready = None, False
            self._put_back()
            self.room.say("hands rest")

    def at_once(self, run: LessonRun) -> None:
        """Have it made without being watched."""
        self._played, self._ready = None, False
        self._put_back()
        if not run.shown_next:
            raise Refused(self.room.line("hands after"))
        run.play_unseen()
        self.room.guarded(lambda: self.room.darkroom.switch_white_light(True))
        self.room.wanted_place = "wall"
        self.room.say("hands after")

    def update(self, dt_s: float, run: LessonRun) -> bool:
        """Let the hands go on; returns whether they are at work."""
        if not self.busy:
            return False
        if self._ready:  # what they say meanwhile has been drawn: now it may take a moment
            self.at_once(run)
            return True
        act, glide = self.act, 0.0 if self.room.preferences.reduced_motion else GLIDE_S
        before, self._s = self._s, self._s + dt_s
        to = self._middle(act.at)
        share = 1.0 if glide <= 0.0 else min(1.0, self._s / glide)
        eased = 1.0 - (1.0 - share) ** 3
        self._at = (self._from[0] + (to[0] - self._from[0]) * eased, self._from[1] + (to[1] - self._from[1]) * eased)
        if before <= glide < self._s:
            self._arrived(act)
        if self._s >= glide + act.seconds:
            self._n, self._s, self._from = self._n + 1, 0.0, self._at
            if self._n >= len(self.acts):
                self._ready = True
        return True

    def _arrived(self, act: Act) -> None:
        if act.turned is not None:
            self._turn(*act.turned)
            self.room.sounds.play("tongs")
        if act.kind == "light":
            self.room.sounds.play("relay")
        if act.kind == "walk":
            self.room.wanted_place = "trays"

    @property
    def _share(self) -> float:
        glide = 0.0 if self.room.preferences.reduced_motion else GLIDE_S
        return min(1.0, max(0.0, (self._s - glide) / max(0.1, self.act.seconds)))

    def draw(self, canvas: Canvas, run: LessonRun) -> None:
        """Paper under the lamp, then the hand over everything."""
        if not self.busy:
            return
        easel, played = self._easel(), self._played
        if self.act.kind == "light" and easel is not None and played is not None:
            self._draw_light(canvas, run, easel, played)
            return
        side, paper = canvas.look.px(HAND), canvas.look.colour("paper")
        hand = canvas.look.keep(("hand", side), lambda: smooth((side, side), lambda big, n: _hand(big, paper)))
        canvas.surface.blit(hand, (round(self._at[0]) - side // 5, round(self._at[1]) - side // 12))
        caption = self._caption_at(self._at)
        canvas.plate(caption, "lamp")
        canvas.text(self.caption, caption.center, "strong", "ink", "center")

    @property
    def caption(self) -> str:
        """What the hand does now: the thing it points at, and what that is turned to."""
        act = self.act
        name = self.room.name("print" if act.at.startswith("print ") else act.at)
        if act.turned is None:
            return name
        control, value = act.turned
        said = {
            "time_s": lambda: f"{self.room.number(float(value))} s", "f_number": lambda: f"f/{float(value):g}",
            "filter": lambda: stamped(str(value)), "height_mm": lambda: f"{float(value):.0f} mm",
        }[control]()  # fmt: skip
        return f"{name}: {said}"

    def _caption_at(self, at: tuple[float, float]) -> Rect:
        """Return where the caption stands while the hand is at a point: beside the wrist, inside the window."""
        look, side = self.room.look, self.room.px(HAND)
        plate = Rect(0, 0, look.width(self.caption, "strong") + look.px(16), look.line_height("strong") + look.px(8))
        plate.midleft = (round(at[0]) + side * 7 // 10, round(at[1]) + side * 2 // 3)
        return plate.clamp(self._inside) if self._inside.w > plate.w else plate

    def covers(self, inside: Rect) -> Rect:
        """Return what hand and caption cover at the end of the way, ``inside`` a place: a note stands elsewhere."""
        self._inside = inside
        to, side = self._middle(self.act.at), self.room.px(HAND)
        return Rect(round(to[0]) - side // 5, round(to[1]), side, side).union(self._caption_at(to))

    def _draw_over_a_sheet(self, canvas: Canvas, easel: Easel, played: Played) -> None:
        """The sheet's edge, the cards that move in its light, and the seconds of the exposure."""
        record, plan = played.record, easel.plan
        whole = plan.rect_px(0.0, 0.0, record.sheet.width_mm, record.sheet.height_mm)
        pygame.draw.rect(canvas.surface, (255, 255, 255), whole, canvas.look.px(2))
        n = min(len(record.exposures) - 1, int(self._share * len(record.exposures)))
        exposure = record.exposures[n]
        for card in exposure.cards:
            motion = card.motion
            x, y = motion.points[0][1:] if motion.kind == "path" else (motion.x_mm, motion.y_mm)
            turn = 2 * math.pi * self._share * 6
            at = plan.to_px(x + 4 * math.cos(turn), y + 4 * math.sin(turn))
            radius = max(canvas.look.px(8), round(card.width_mm / 2 * plan.px_per_mm))
            pygame.draw.circle(canvas.surface, (0, 0, 0), at, radius)
            pygame.draw.circle(canvas.surface, canvas.look.colour("lamp"), at, radius, canvas.look.px(2))
        draw_plate(canvas, whole.midbottom, [f"{self.room.number(exposure.time_s)} s"], "midbottom")

    def _draw_light(self, canvas: Canvas, run: LessonRun, easel: Easel, played: Played) -> None:
        """The piece as it lies: of a strip one step after the other lies open, over a sheet cards move."""
        record, plan, desk = played.record, easel.plan, self.room.darkroom.desk
        if record.strip is None:
            self._draw_over_a_sheet(canvas, easel, played)
            return
        place = deciding_place(run.exercise, run.negatives[0])
        left, top, wide, high = desk.frame_mm
        spot = next(((p.x, p.y) for p in desk.negative.places if p.name == place), (0.5, 0.5))
        piece = Rect(0, 0, round(record.sheet.width_mm * plan.px_per_mm), round(record.sheet.height_mm * plan.px_per_mm))
        slot = plan.to_px(left + spot[0] * wide, top + spot[1] * high)
        count = len(record.strip.times_s)
        across, now = piece.w >= piece.h, min(count - 1, int(self._share * count))
        off = (now + 0.5) / count - 0.5  # the paper is moved: every step comes to lie under the slot over the place
        piece.center = (slot[0] - round(piece.w * off), slot[1]) if across else (slot[0], slot[1] - round(piece.h * off))
        middles = [
            (piece.x + round(piece.w * (k + 0.5) / count), piece.centery) if across
            else (piece.centerx, piece.y + round(piece.h * (k + 0.5) / count)) for k in range(count)
        ]  # fmt: skip
        before = canvas.surface.get_clip()
        canvas.surface.set_clip(plan.view)
        for k, band in enumerate(bands(piece, middles)):
            if k != now:
                pygame.draw.rect(canvas.surface, mixed((0, 0, 0), canvas.look.colour("paper"), 0.3 if k < now else 0.1), band)
            pygame.draw.rect(canvas.surface, canvas.look.colour("lamp" if k == now else "edge"), band, canvas.look.px(1))
            if k <= now:
                draw_plate(canvas, band.midtop, [f"{self.room.number(record.strip.times_s[k])} s"], "midtop")
        canvas.surface.set_clip(before)


def _hand(big: Surface, paper: tuple[int, int, int]) -> None:
    """A hand that points: forefinger, folded fingers, thumb, and a cuff."""
    s = big.get_width()
    light, line = mixed((0, 0, 0), paper, 0.82), mixed((0, 0, 0), paper, 0.25)

    def limb(x: float, y: float, w: float, h: float, r: float) -> None:
        rect = Rect(int(x * s), int(y * s), int(w * s), int(h * s))
        pygame.draw.rect(big, light, rect, border_radius=int(r * s))
        pygame.draw.rect(big, line, rect, max(1, s // 50), border_radius=int(r * s))

    limb(0.36, 0.70, 0.50, 0.30, 0.04)
    limb(0.62, 0.36, 0.17, 0.34, 0.08)
    limb(0.48, 0.33, 0.17, 0.36, 0.08)
    limb(0.34, 0.32, 0.17, 0.38, 0.08)
    limb(0.18, 0.06, 0.16, 0.58, 0.08)
    limb(0.24, 0.50, 0.54, 0.26, 0.10)
    limb(0.10, 0.50, 0.34, 0.15, 0.07)
