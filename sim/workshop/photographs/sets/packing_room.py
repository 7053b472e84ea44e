"""The packing room under a grey sky: crates, straw, paper and parcels. Light from everywhere, a short range."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import disc, rod, sheet, together
from sim.workshop.photographs.growth import straw, straw_skin
from sim.workshop.photographs.linen import curled_sheet, paper, parcel, ream
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Bands, Material, Times
from sim.workshop.photographs.timber import board, trestle_table, wood
from sim.workshop.photographs.ware import biscuit, glaze, porcelain
from sim.workshop.photographs.yard import crate

TOP = 0.82  # the table, m


def _wrapped_pot(
    outline: t.Outline, at: tuple[float, float, float], skin: Material, string: Material, seed: int
) -> list[Thing]:
    """A pot wrapped in paper, gathered and tied at its neck."""
    loose = t.sized(outline, 1.12, 1.0)
    top = max(h for _, h in outline)
    neck = min(r for r, h in loose if h > 0.5 * top)
    crown = ((neck * 0.55, top), (neck * 0.72, top * 1.07), (neck * 0.95, top * 1.13))
    form = t.thrown((*loose[:-2], *crown), 0.0012, seed, 0.0, fineness=360)
    p = form.points
    angle, height = np.arctan2(p[:, 1], p[:, 0]), p[:, 2] / top
    round_it = np.stack([np.cos(angle), np.sin(angle), 0.35 * height], -1)
    pleat = (np.abs(uneven(round_it, 0.17, 2, seed)) - 0.25) * np.exp(-(((height - 1.0) / 0.22) ** 2))
    crush = 0.10 * (0.3 - np.abs(uneven(p * (1, 1, 0.6), 0.075, 3, seed))) * np.clip(height * 3, 0, 1)
    torn = 0.05 * uneven(round_it, 0.6, 2, seed + 1) * np.clip((height - 1.03) / 0.1, 0, 1)
    wide = 1 + np.where(height > 1, 0.4, 0.75) * pleat + crush
    form = form.bent(p * np.stack([wide, wide, 1 + torn], -1))
    tie = rod(
        [
            (neck * 0.60 * np.cos(a), neck * 0.60 * np.sin(a), top + 0.003 * np.sin(3 * a) - 0.004)
            for a in np.linspace(0, 4 * np.pi, 40)],
        0.0015, 6)
    return [Thing(form, skin, at, turn_deg=40.0 * seed), Thing(tie, string, at)]


def _on_the_table() -> list[Thing]:
    brown, white, string = (
        paper(0.40, 0.0035, 0.0), paper(0.76, 0.004, 0.05), Material(Times(0.5, Bands(0.004, 0.7, 1.1, "x")), 0.9, 1.3))
    things = [
        *parcel(0.34, 0.25, 0.20, (-0.42, -0.10, TOP), 8, brown, string, 1),
        *parcel(0.26, 0.2, 0.13, (-0.40, -0.09, TOP + 0.203), -14, brown, string, 2),
        *parcel(0.2, 0.2, 0.22, (-0.72, -0.02, TOP), 22, paper(0.58, 0.003, 0.0), string, 3),
        *parcel(0.17, 0.13, 0.09, (-0.66, -0.30, TOP), 40, brown, string, 4),
        *_wrapped_pot(t.VASE, (-0.02, 0.02, TOP), white, string, 2), *_wrapped_pot(t.JAR, (0.55, 0.05, TOP), white, string, 5),
        *_wrapped_pot(t.BOTTLE, (0.74, -0.03, TOP), white, string, 7),
        *ream(0.42, 0.32, 14, (0.13, -0.24, TOP), -8, paper(0.72), 3),
        Thing(curled_sheet(0.34, 0.26, 0.07), paper(0.74), (-0.17, -0.27, TOP + 0.004), turn_deg=35),
        Thing(
            t.handled(t.with_spout(t.thrown(t.JUG, seed=3), 190), 0.07, 0.215, 0.048), glaze(0.6, bare_foot=0.15),
            (0.22, -0.02, TOP + 0.012), turn_deg=30),
        Thing(t.thrown(t.TEA_BOWL, seed=4), porcelain(), (0.16, -0.27, TOP + 0.0095)),
        Thing(t.thrown(t.CUP, seed=5), glaze(0.35), (0.245, -0.22, TOP + 0.0095), turn_deg=30)]
    return [*things, *_string(string), Thing(straw(160, 0.2, 0.30, 0.22, 0.05, 8), straw_skin(), (0.62, -0.24, TOP))]


def _string(skin: Material) -> list[Thing]:
    """A ball of string and the end that has come off it."""
    ball = rod(
        [
            (
                0.036 * np.cos(1.7 * a) * np.sin(0.93 * a + 0.2), 0.036 * np.sin(1.7 * a) * np.sin(0.93 * a + 0.2),
                0.036 * np.cos(0.93 * a + 0.2))
            for a in np.linspace(0, 190, 2600)],
        0.0019, 6)
    end = [(0.0, -0.03, 0.0), (0.03, -0.06, -0.034), (0.10, -0.03, -0.0355), (0.17, -0.08, -0.0355), (0.26, -0.04, -0.0355)]
    place = (0.43, -0.30, TOP + 0.037)
    return [Thing(ball, skin, place), Thing(rod(end, 0.0019, 6, 10), skin, place)]


def _on_the_floor() -> list[Thing]:
    """Crates before and under the table, one being filled: straw spilling over its edge, necks of bottles in it."""
    slats = wood(0.36, 0.6)
    things = [
        *crate(0.72, 0.48, 0.40, (-0.52, -0.86, 0), 22, slats, 1), *crate(0.66, 0.46, 0.36, (0.62, -0.62, 0), -9, slats, 2, 3),
        *crate(0.6, 0.42, 0.30, (0.62, -0.62, 0.37), -4, slats, 3, 3)]
    things.append(Thing(straw(1500, 0.28, 0.68, 0.46, 0.16, 4), straw_skin(), (-0.52, -0.86, 0.26), turn_deg=22))
    things.append(Thing(straw(260, 0.28, 1.0, 0.5, 0.02, 5), straw_skin(), (-0.5, -1.25, 0.004)))
    things.append(Thing(straw(500, 0.24, 0.55, 0.38, 0.10, 6), straw_skin(), (0.62, -0.62, 0.57), turn_deg=-4))
    for k, (x, y, z, outline, skin) in enumerate(
        (
            (-0.68, -0.92, 0.27, t.BOTTLE, glaze(0.5)), (-0.50, -0.80, 0.26, t.BOTTLE, biscuit(0.5)),
            (-0.36, -0.84, 0.30, t.JUG, glaze(0.3)), (0.55, -0.64, 0.60, t.BOWL, glaze(0.66)))):
        things.append(
            Thing(t.thrown(outline, seed=20 + k), skin, (x, y, z), lean_deg=7.0 * (-1) ** k, roll_deg=9.0 * np.sin(k + 1)))
    return things


def _room() -> list[Thing]:
    wall = plaster(0.60, 0.22)
    things = [
        Thing(sheet(7, 3.4), wall, (0, 0.55, 1.4), lean_deg=90),
        *(
            Thing(board(3.6, 0.176, 0.03, 70 + k), wood(0.33, 1.0), (0.3 * (k % 3) + 3.6 * side, 0.5 - 0.18 * k, -0.016))
            for k in range(22)
            for side in (-1, 0, 1)),
        *shut_in(plaster(0.6, 0.5), -2.5, 2.5, -5.0, 2.8)]
    things += trestle_table((0.0, 0, 0), 2.1, 0.82, TOP, wood(0.33, 0.9))
    things.append(Thing(board(1.7, 0.26, 0.03, 7), wood(0.32, 0.8), (0.16, 0.42, 1.52)))
    for k, (outline, x) in enumerate(
        ((t.JAR, -0.42), (t.BOTTLE, -0.20), (t.BOWL, 0.05), (t.CROCK, 0.36), (t.VASE, 0.62), (t.CUP, 0.80))):
        things.append(
            Thing(
                t.thrown(outline, seed=40 + k),
                (glaze(0.55, bare_foot=0.2), glaze(0.25), glaze(0.6), biscuit(0.5), glaze(0.62), porcelain())[k],
                (x, 0.41, 1.536), turn_deg=50 * k))
    things.append(Thing(disc(0.125, 0.01, 0.002), biscuit(0.5), (-0.62, 0.50, 1.66), lean_deg=80))
    for k, (x, z, turn) in enumerate(((-0.80, 1.36, 1.5), (-0.78, 1.20, -2.0), (-0.60, 1.30, 3.0))):
        note = curled_sheet(0.10, 0.14, 0.006, 30)
        upright = note.bent(note.points[:, [0, 2, 1]] * (1, -1, 1))
        things.append(Thing(upright, paper(0.72), (x, 0.535 - 0.003 * k, z), roll_deg=turn))
    things.append(
        Thing(rod([(0, 0, 0), (0, -0.05, 0.004)], 0.0035, 8), Material(0.1, 0.4, 1.6, metal=0.8), (-1.02, 0.54, 1.50)))
    hank = rod(
        [
            (0.012 * np.sin(5 * a) + 0.05 * np.sin(a), -0.02 + 0.006 * np.sin(3 * a), -0.16 + 0.16 * np.cos(a))
            for a in np.linspace(0, 16 * np.pi, 700)],
        0.0018, 6)
    things.append(Thing(hank, Material(0.5, 0.9, 1.3), (-1.02, 0.53, 1.50)))
    broom = [
        rod([(0.0008 * (k % 7) * np.cos(k), 0.004 * np.sin(k), 0.30), (0.004 * (k % 11 - 5), 0.02 * np.sin(k), 0.14),
             (0.012 * (k % 11 - 5), 0.035 * np.sin(2.3 * k), 0.004 * (k % 5))], 0.0014, 5, 5)
        for k in range(160)]  # fmt: skip
    leans = rod([(0, 0, 0.24), (0.01, 0.01, 0.8), (0, 0, 1.36)], [0.013, 0.012, 0.011], 14, 6)
    for form, skin in ((together(broom), straw_skin(0.34)), (leans, wood(0.3, 0.9, "z"))):
        things.append(Thing(form, skin, (-1.30, 0.30, 0.0), turn_deg=15, lean_deg=-8, roll_deg=3))
    return things


def scene() -> Scene:
    """Across the table towards the wall, the sheet wide; two big windows behind the camera and a skylight."""
    return Scene(
        Camera((1.16, -2.62, 1.56), (-0.14, -0.05, 1.56), 150, (118.75, 95.0), 32, (0.05, -0.25, 0.9), rise=-0.275),
        [*_on_the_table(), *_on_the_floor(), *_room()],
        [
            Panel((-2.4, -2.2, 1.7), (1, 0.45, -0.1), 1.6, 1.6, 900.0),
            Panel((2.4, -2.6, 1.7), (-1, 0.5, -0.1), 1.6, 1.6, 700.0), Panel((0.3, -1.6, 2.75), (0, 0.1, -1), 1.4, 1.2, 700.0)],
        bounces=7,
        places={
            "porcelain": (0.15, -0.315, TOP + 0.05), "white-paper": (0.02, -0.30, TOP + 0.012),
            "wrapped-pot": (0.0, -0.07, TOP + 0.12), "wall": (-0.75, 0.54, 1.7), "parcel": (-0.38, -0.235, TOP + 0.1),
            "jug": (0.22, -0.10, TOP + 0.1), "straw": (0.50, -0.55, 0.62), "dark-cup": (0.245, -0.26, TOP + 0.05),
            "dark-glaze": (-0.20, 0.36, 1.62), "under-table": (-0.5, 0.30, 0.35), "floor": (-0.75, -0.25, 0.0)})
