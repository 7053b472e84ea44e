"""The packing table on a grey day: a porcelain bowl in the paper it goes in, wrapped ware, a crate of straw behind."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import sheet, smooth_line
from sim.workshop.photographs.growth import straw_skin
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Point, Scene, Thing
from sim.workshop.photographs.surface import Bands, Cloudy, Material, Times
from sim.workshop.photographs.timber import board, old_wood, wood
from sim.workshop.photographs.ware import ash_glaze, iron_glaze, porcelain
from sim.workshop.photographs.wrapping import ball_of_cord, cord, opened_sheet, parcel, strewn, tied_bag, wrapping
from sim.workshop.photographs.yard import crate

TOP = 0.82  # the table, m
HERO: t.Outline = ((0.032, 0.0), (0.035, 0.012), (0.062, 0.028), (0.086, 0.056), (0.094, 0.084))
BOWL_AT, BAG_AT, CRATE_AT, BALL_AT = (-0.075, -0.09), (0.235, 0.115), (0.42, 0.34), (0.235, -0.225)
TARRED = Material(Times(0.10, Cloudy(0.01, 0.6, 1.4)), 0.5, 1.45, (Bands(0.0007, 0.0, 0.0001, "x"),))


def _bag(outline: t.Outline, at: Point, paper_m: float, tone: float, seed: int, turn: float) -> list[Thing]:
    """A pot in its paper, tied at the neck with two turns of cord and a hitch."""
    form, (r, z) = tied_bag(smooth_line(np.array(outline), 6), paper_m, seed)
    a = np.linspace(0, 4.3 * np.pi, 80)
    ring = np.stack([1.15 * r * np.cos(a), 1.15 * r * np.sin(a), z + 0.0016 * (a / np.pi - 2) + 0.001 * np.sin(3 * a)], -1)
    end = ring[-1] + np.array([(0.0, 0.0, 0.0), (0.006, 0.010, -0.004), (0.03, 0.016, -0.03), (0.042, 0.01, -0.07)])
    tie = cord(np.concatenate([ring, smooth_line(end, 12)[2:]]))
    return [Thing(form, wrapping(tone), at, turn), Thing(tie, TARRED, at, turn)]


def _bowl_in_its_paper() -> list[Thing]:
    wall = smooth_line(np.array(HERO), 12)
    paper = opened_sheet(0.45, wall, lambda a: 0.72 + 0.40 * np.sin(a + 0.3) - 0.15 * np.cos(2 * a) + 0.12 * np.sin(3 * a), 3)
    x, y = BOWL_AT
    return [Thing(paper, wrapping(0.66, 0.25), (x, y, TOP), turn_deg=8),
        Thing(t.thrown(HERO, 0.0036, 4, 0.00016, 0.004, 400), porcelain(), (x, y, TOP + 0.0024))]


def _in_the_way(x: F64, y: F64) -> F64:
    """Height of what the straw on the table falls against, m."""
    high = np.zeros(x.shape)
    for (px, py), radius, tall in ((BAG_AT, 0.10, 9.0), (BALL_AT, 0.034, 9.0), (BOWL_AT, 0.19, 9.0), (BOWL_AT, 0.29, 0.004)):
        high = np.maximum(high, tall * (np.hypot(x - px, y - py) < radius))
    x, y = x - CRATE_AT[0], y - CRATE_AT[1]
    in_crate = (np.abs(0.988 * x - 0.156 * y) < 0.28) & (np.abs(0.988 * y + 0.156 * x) < 0.205)
    return np.asarray(np.where(in_crate, 9.0, high))


def _straw() -> list[Thing]:
    """In the crate and before it, as it fell out; single stalks have gone further."""
    chance = np.random.Generator(np.random.PCG64(6))
    fell = np.concatenate([chance.normal((0.44, 0.02), (0.14, 0.05), (430, 2)),
        chance.normal((0.30, -0.10), (0.14, 0.09), (70, 2)),
        chance.uniform((0.1, -0.33), (0.6, 0.1), (12, 2))])
    kept = chance.uniform((-0.25, -0.16), (0.25, 0.16), (950, 2))

    def within(x: F64, y: F64) -> F64:
        heap = np.where(np.hypot(x + 0.05, y) < 0.093, 9.0, 0.165 + 0.03 * uneven_plane(x, y, 0.12, 2, 5))  # about the jar
        out = np.maximum(np.abs(x) - 0.27, np.abs(y) - 0.19)
        return np.asarray(np.where(np.abs(out) < 0.012, 0.228, np.where(out < 0, heap, 0.0)))

    skin = straw_skin(0.42)
    return [Thing(strewn(fell[_in_the_way(*fell.T) == 0], (0.05, 0.26), _in_the_way, 3), skin, (0, 0, TOP)),
        Thing(strewn(kept, (0.06, 0.23), within, 8), skin, (*CRATE_AT, TOP), turn_deg=-9)]


def _on_the_table() -> list[Thing]:
    brown = wrapping(0.24, 0.0)
    free = [(0.0, -0.034, -0.004), (-0.03, -0.05, -0.030), (-0.09, -0.045, -0.0355), (-0.14, -0.10, -0.0355),
        (-0.22, -0.10, -0.0355), (-0.30, -0.125, -0.0355), (-0.28, -0.15, -0.0355)]
    ball = (*BALL_AT, TOP + 0.0368)
    things = [*parcel(0.36, 0.26, 0.15, (-0.37, 0.29, TOP), -24, brown, TARRED, 1),
        *parcel(0.24, 0.19, 0.105, (-0.345, 0.27, TOP + 0.154), -9, wrapping(0.42, 0.0), TARRED, 2),
        *_bag(((0.055, 0.0), (0.062, 0.012), (0.088, 0.06), (0.095, 0.095)), (*BAG_AT, TOP), 0.72, 0.56, 5, 215),
        *crate(0.54, 0.38, 0.225, (*CRATE_AT, TOP + 0.001), -9, old_wood(0.24), 2, 3),
        Thing(t.thrown(t.sized(t.JAR, 0.72, 0.78), seed=5), ash_glaze(0.36),
            (CRATE_AT[0] - 0.05, CRATE_AT[1] + 0.008, TOP + 0.04), 30, 2, -4),
        Thing(t.thrown(t.sized(t.TEA_BOWL, 1.0, 1.05), seed=22), iron_glaze(0.022), (0.0, 0.245, TOP), 30),
        Thing(ball_of_cord(0.038, 0.0017), TARRED, ball, 20, 50), Thing(cord(free, 0.0013, 24), TARRED, ball)]
    return [*things, *_bowl_in_its_paper(), *_straw()]


def _room() -> list[Thing]:
    boards = [Thing(board(2.3, 0.184, 0.034, 50 + k), wood(0.16, 1.0), (0.02 * k, -0.32 + 0.187 * k, TOP - 0.0175))
        for k in range(5)]
    return [Thing(sheet(7, 3.4), plaster(0.36, 0.8), (0, 1.05, 1.4), lean_deg=90), *boards,
        Thing(board(2.3, 0.7, 0.02, 3), old_wood(0.42), (0, -0.35, TOP - 0.40), lean_deg=90),
        *shut_in(plaster(0.5, 0.5), -2.2, 2.6, -5.0, 2.8), Thing(sheet(7, 7), Material(0.12), (0, -1.5, 0))]


def scene() -> Scene:
    """Down on the table from where the packer stands, the sheet wide; a window on the left, a little behind the bowl."""
    return Scene(
        Camera((0.10, -1.42, TOP + 0.60), (0.01, 0.0, TOP + 0.055), 210, (118.75, 95.0), 25, (-0.075, -0.17, TOP + 0.06)),
        [*_on_the_table(), *_room()],
        [Panel((-1.45, 0.45, TOP + 0.66), (1, -0.42, -0.36), 0.9, 1.2, 3400.0),
            Panel((2.3, -1.8, 1.8), (-1, 0.5, -0.2), 1.4, 1.4, 450.0)], bounces=6,
        places={"porcelain": (-0.10, -0.175, TOP + 0.055), "within": (-0.06, -0.03, TOP + 0.05),
            "paper": (-0.24, -0.24, TOP + 0.02), "bag": (0.26, 0.02, TOP + 0.07), "black-bowl": (0.0, 0.185, TOP + 0.05),
            "parcel": (-0.40, 0.18, TOP + 0.21), "straw": (0.37, -0.05, TOP + 0.02),
            "jar": (0.37, 0.27, TOP + 0.21), "wall": (-0.05, 1.04, TOP + 0.17), "ball": (0.235, -0.26, TOP + 0.04),
            "table-top": (-0.2, -0.36, TOP), "under-table": (0.1, -0.36, TOP - 0.10)})
