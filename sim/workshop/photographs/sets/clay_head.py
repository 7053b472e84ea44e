"""A head modelled in clay, half of it in shadow: light from one tall window, a dark room behind."""

from __future__ import annotations

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.bust import bust
from sim.workshop.photographs.form import block, disc, rod, sheet
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, Hollows, Material, Plus, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import biscuit, glaze

TOP = 1.12  # the modelling stand, m


def modelled_clay() -> Material:
    """Leather-hard clay: thumbed, scraped, paler where it has dried, a dull sheen where the wet hand passed last."""
    body = Times(Times(0.25, Cloudy(0.07, 0.80, 1.15, detail=4)), Cells(0.005, 0.75, 1.0, reach=0.14))
    body = Times(body, Plus(1.05, Times(-0.35, Hollows(0.012))))
    marks = (
        Cloudy(0.012, -0.0004, 0.0004, warp=0.6), Cloudy(0.0028, -0.00012, 0.00012), Cells(0.0034, -0.00012, 0.0, reach=0.2))
    return Material(body, Cloudy(0.03, 0.5, 0.8), 1.4, marks)


def scene() -> Scene:
    """The head looks past the window; tools and a wet cloth lie at its foot."""
    wall = plaster(0.15, 0.6)
    form = bust()
    things = [
        Thing(form, modelled_clay(), (0.0, 0.0, TOP + 0.002), turn_deg=-36),
        Thing(block(0.36, 0.30, 0.028, 0.004, 20), wood(0.22, 1.0), (0.0, 0.02, TOP - 0.013), turn_deg=-18),
        Thing(disc(0.12, 0.03, 0.004), wood(0.14, 1.0), (0, 0.02, TOP - 0.06)),
        Thing(rod([(0, 0, 0), (0, 0, 1.1)], 0.03), wood(0.14, 1.0, "z"), (0, 0.02, 0.0)),
        lying_cloth(0.20, 0.34, (0.13, -0.11, TOP + 0.001), -0.165, -20, linen(0.30, worn=0.6), seed=3, lift_m=0.008),
        Thing(
            rod([(0, 0, 0), (0.05, -0.02, 0.001), (0.17, -0.01, 0.0)], [0.002, 0.0045, 0.004], 10, 6), wood(0.3, 0.5),
            (-0.15, -0.115, TOP + 0.0065)),
        Thing(sheet(6, 4), wall, (0, 1.35, 1.5), lean_deg=90),
        Thing(board(2.2, 0.26, 0.032, 5), wood(0.22, 0.9), (0.1, 1.20, 1.17)),
        Thing(t.thrown(t.sized(t.CROCK, 1.0, 0.9), seed=2), glaze(0.12, bare_foot=0.2), (-0.33, 1.18, 1.186)),
        Thing(t.thrown(t.BOTTLE, seed=3), biscuit(0.22), (0.32, 1.20, 1.186)),
        Thing(t.thrown(t.WIDE_BOWL, seed=4), glaze(0.25), (0.50, 1.17, 1.186)),
        *shut_in(plaster(0.12, 0.6), -2.3, 2.4, -3.5, 2.9), Thing(sheet(7, 7), Material(0.08), (0, -1, 0))]
    return Scene(
        Camera((0.04, -1.22, TOP + 0.24), (-0.018, 0.0, TOP + 0.212), 240, (95.0, 118.75), 16, (-0.03, -0.085, TOP + 0.27)),
        things,
        [
            Panel((-2.0, 0.0, TOP + 0.80), (1, 0.0, -0.28), 0.95, 1.4, 1900.0),
            Panel((2.2, -1.0, 2.0), (-1, 0.45, -0.35), 0.5, 0.9, 190.0)],
        bounces=6,
        places={
            "lit-cheek": (-0.075, -0.045, TOP + 0.235), "dark-cheek": (0.025, -0.075, TOP + 0.235),
            "neck-shade": (0.03, -0.04, TOP + 0.13), "hair": (-0.03, -0.06, TOP + 0.36),
            "shoulder-lit": (-0.085, -0.05, TOP + 0.07), "shoulder-shade": (0.10, -0.04, TOP + 0.07),
            "wall": (0.24, 1.34, TOP + 0.45), "crock": (-0.28, 1.06, TOP + 0.15), "under-shelf": (0.15, 1.34, TOP - 0.05),
            "board": (-0.13, -0.125, TOP + 0.002), "cloth": (0.12, -0.17, TOP - 0.03)})
