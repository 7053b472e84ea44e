"""The packing room under a grey sky: crates, straw, paper and parcels. Light from everywhere, a short range."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import disc, rod, sheet
from sim.workshop.photographs.growth import straw, straw_skin
from sim.workshop.photographs.linen import curled_sheet, paper, parcel, ream
from sim.workshop.photographs.masonry import flagstones, plaster
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
    from sim.workshop.photographs.relief import uneven

    loose = t.sized(outline, 1.10, 1.0)
    top = max(h for _, h in outline)
    neck = min(r for r, h in loose if h > 0.5 * top)
    form = t.thrown(
        (*loose[:-2], (neck * 0.62, top * 1.0), (neck * 0.9, top * 1.13), (neck * 1.35, top * 1.22)),
        0.002,
        seed,
        0.0,
        fineness=220,
    )
    p = form.points
    angle, height = np.arctan2(p[:, 1], p[:, 0]), p[:, 2] / top
    pleat = np.sin(17 * angle + 3 * np.sin(2 * angle + seed)) * np.exp(-(((height - 1.0) / 0.28) ** 2))
    crush = uneven(p * (1, 1, 0.5), 0.045, 4, seed) * 0.07 * np.clip(height * 3, 0, 1)
    form = form.bent(p * np.stack([1 + 0.16 * pleat + crush, 1 + 0.16 * pleat + crush, 1 + 0.03 * pleat * (height > 1)], -1))
    tie = rod(
        [
            (neck * 0.66 * np.cos(a), neck * 0.66 * np.sin(a), top + 0.003 * np.sin(3 * a))
            for a in np.linspace(0, 4 * np.pi, 40)
        ],
        0.0015,
        6,
    )
    return [Thing(form, skin, at, turn_deg=40.0 * seed), Thing(tie, string, at)]


def _on_the_table() -> list[Thing]:
    brown, white, string = (
        paper(0.42, lets_through=0.0),
        paper(0.76, 0.004, 0.05),
        Material(Times(0.5, Bands(0.004, 0.7, 1.1, "x")), 0.9, 1.3),
    )
    things = [
        *parcel(0.34, 0.25, 0.20, (-0.42, -0.10, TOP), 8, brown, string, 1),
        *parcel(0.26, 0.2, 0.13, (-0.40, -0.09, TOP + 0.203), -14, brown, string, 2),
        *parcel(0.2, 0.2, 0.22, (-0.72, -0.02, TOP), 22, paper(0.6, lets_through=0.0), string, 3),
        *parcel(0.17, 0.13, 0.09, (-0.66, -0.30, TOP), 40, brown, string, 4),
        *_wrapped_pot(t.VASE, (-0.02, 0.02, TOP), white, string, 2),
        *_wrapped_pot(t.JAR, (0.55, 0.05, TOP), white, string, 5),
        *_wrapped_pot(t.BOTTLE, (0.74, -0.03, TOP), white, string, 7),
        *ream(0.42, 0.32, 14, (0.13, -0.24, TOP), -8, paper(0.72), 3),
        Thing(curled_sheet(0.34, 0.26, 0.07), paper(0.74), (-0.17, -0.27, TOP + 0.004), turn_deg=35),
        Thing(
            t.handled(t.with_spout(t.thrown(t.JUG, seed=3), 190), 0.07, 0.215, 0.048),
            glaze(0.6, bare_foot=0.15),
            (0.22, -0.02, TOP + 0.012),
            turn_deg=30,
        ),
        Thing(t.thrown(t.TEA_BOWL, seed=4), porcelain(), (0.16, -0.27, TOP + 0.0095)),
        Thing(t.thrown(t.CUP, seed=5), glaze(0.35), (0.245, -0.22, TOP + 0.0095), turn_deg=30),
    ]
    return [*things, *_string(string), Thing(straw(160, 0.2, 0.30, 0.22, 0.05, 8), straw_skin(), (0.62, -0.24, TOP))]


def _string(skin: Material) -> list[Thing]:
    """A ball of string and the end that has come off it."""
    ball = rod(
        [
            (
                0.036 * np.cos(1.7 * a) * np.sin(0.93 * a + 0.2),
                0.036 * np.sin(1.7 * a) * np.sin(0.93 * a + 0.2),
                0.036 * np.cos(0.93 * a + 0.2),
            )
            for a in np.linspace(0, 190, 2600)
        ],
        0.0019,
        6,
    )
    end = [(0.0, -0.03, 0.0), (0.03, -0.06, -0.034), (0.10, -0.03, -0.0355), (0.17, -0.08, -0.0355), (0.26, -0.04, -0.0355)]
    place = (0.43, -0.30, TOP + 0.037)
    return [Thing(ball, skin, place), Thing(rod(end, 0.0019, 6, 10), skin, place)]


def _on_the_floor() -> list[Thing]:
    """Crates before and under the table, one being filled: straw spilling over its edge, necks of bottles in it."""
    slats = wood(0.36, 0.6)
    things = [
        *crate(0.72, 0.48, 0.40, (-0.72, -0.78, 0), 14, slats, 1),
        *crate(0.66, 0.46, 0.36, (0.62, -0.62, 0), -9, slats, 2, 3),
        *crate(0.6, 0.42, 0.34, (0.60, -0.60, 0.37), 6, slats, 3, 3),
    ]
    things.append(Thing(straw(1500, 0.28, 0.68, 0.46, 0.16, 4), straw_skin(), (-0.72, -0.78, 0.26), turn_deg=14))
    things.append(Thing(straw(260, 0.28, 1.0, 0.5, 0.02, 5), straw_skin(), (-0.5, -1.25, 0.004)))
    things.append(Thing(straw(500, 0.24, 0.55, 0.38, 0.10, 6), straw_skin(), (0.60, -0.60, 0.61), turn_deg=6))
    for k, (x, y, z, outline, skin) in enumerate(
        (
            (-0.90, -0.80, 0.27, t.BOTTLE, glaze(0.5)),
            (-0.72, -0.70, 0.26, t.BOTTLE, biscuit(0.5)),
            (-0.55, -0.84, 0.30, t.JUG, glaze(0.3)),
            (0.52, -0.62, 0.62, t.BOWL, glaze(0.66)),
        )
    ):
        things.append(
            Thing(t.thrown(outline, seed=20 + k), skin, (x, y, z), lean_deg=7.0 * (-1) ** k, roll_deg=9.0 * np.sin(k + 1))
        )
    return things


def _room() -> list[Thing]:
    wall = plaster(0.60, 0.6)
    things = [
        Thing(sheet(7, 3.4), wall, (0, 0.55, 1.4), lean_deg=90),
        Thing(sheet(8, 7), flagstones(0.33), (0, -2.4, 0)),
        *shut_in(plaster(0.6, 0.5), -2.5, 2.5, -5.0, 2.8),
    ]
    things += trestle_table((0.0, 0, 0), 2.1, 0.82, TOP, wood(0.33, 0.9))
    things.append(Thing(board(1.7, 0.26, 0.03, 7), wood(0.32, 0.8), (0.16, 0.42, 1.52)))
    for k, (outline, x) in enumerate(
        ((t.JAR, -0.42), (t.BOTTLE, -0.20), (t.BOWL, 0.05), (t.CROCK, 0.36), (t.VASE, 0.62), (t.CUP, 0.80))
    ):
        things.append(
            Thing(
                t.thrown(outline, seed=40 + k),
                (glaze(0.55, bare_foot=0.2), glaze(0.25), glaze(0.6), biscuit(0.5), glaze(0.62), porcelain())[k],
                (x, 0.41, 1.536),
                turn_deg=50 * k,
            )
        )
    things.append(Thing(disc(0.125, 0.01, 0.002), biscuit(0.5), (-0.62, 0.50, 1.66), lean_deg=80))
    for k, (x, z, turn) in enumerate(((-0.80, 1.36, 1.5), (-0.78, 1.20, -2.0), (-0.60, 1.30, 3.0))):
        note = curled_sheet(0.10, 0.14, 0.006, 30)
        upright = note.bent(note.points[:, [0, 2, 1]] * (1, -1, 1))
        things.append(Thing(upright, paper(0.72), (x, 0.535 - 0.003 * k, z), roll_deg=turn))
    things.append(Thing(rod([(0, 0, 0), (0, -0.05, 0.004)], 0.0035, 8), Material(0.1, 0.4, 1.6, metal=0.8), (0.98, 0.54, 1.42)))
    hank = rod(
        [
            (0.012 * np.sin(5 * a) + 0.05 * np.sin(a), -0.02 + 0.006 * np.sin(3 * a), -0.16 + 0.16 * np.cos(a))
            for a in np.linspace(0, 16 * np.pi, 700)
        ],
        0.0018,
        6,
    )
    things.append(Thing(hank, Material(0.5, 0.9, 1.3), (0.98, 0.53, 1.42)))
    return things


def scene() -> Scene:
    """Across the table towards the wall, the sheet wide; two big windows behind the camera and a skylight."""
    return Scene(
        Camera((0.22, -3.35, 1.62), (0.0, 0.0, 0.90), 160, (118.75, 95.0), 32, (0.0, -0.3, 0.85)),
        [*_on_the_table(), *_on_the_floor(), *_room()],
        [
            Panel((-2.4, -2.2, 1.7), (1, 0.45, -0.1), 1.6, 1.6, 900.0),
            Panel((2.4, -2.6, 1.7), (-1, 0.5, -0.1), 1.6, 1.6, 700.0),
            Panel((0.3, -1.6, 2.75), (0, 0.1, -1), 1.4, 1.2, 700.0),
        ],
        bounces=7,
        places={
            "paper": (0.02, -0.30, TOP + 0.012),
            "wall": (0.85, 0.54, 1.2),
            "parcel": (-0.42, -0.235, TOP + 0.1),
            "straw": (-0.72, -0.9, 0.4),
            "under-table": (0.0, -0.2, 0.3),
            "jug": (0.19, -0.10, TOP + 0.1),
            "dark-glaze": (-0.20, 0.36, 1.62),
        },
    )
