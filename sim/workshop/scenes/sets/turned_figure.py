"""A potter at the wheel, turned half away and half in shadow: sleeves rolled, hands on the clay, window beyond the frame."""

from sim.workshop.scenes import figure as f
from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.materials import Iron, Material, Plaster, Wood
from sim.workshop.scenes.sdf import Box, Carved, Disc, Joined, Moved, Shape
from sim.workshop.scenes.sets.potter import YAW, in_world, own, potter
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze

WHEEL_Y = 0.745
CLAY_Z = 0.575  # distance of the wheel's middle in front of the figure's own origin
BACK_Z = -1.95

CYLINDER: forms.Profile = (
    (0.0, 0.0),
    (0.060, 0.0),
    (0.073, 0.004),
    (0.071, 0.020),
    (0.064, 0.060),
    (0.061, 0.110),
    (0.061, 0.150),
    (0.0635, 0.172),
    (0.067, 0.182),
)


def _wheel() -> list[Thing]:
    def at_wheel(shape: Shape, skin: Material, y: float, slack: float = 1.0) -> Thing:
        return own(Moved(shape, (0.0, y, CLAY_Z)), skin, slack)

    wet = Glaze(0.19, 0.19, -0.1, 0.0, breaks=0.3, gloss=0.04, rough=0.06, speckle=0.0, ring_m=1.6e-4, shift=33)
    pot = Thing(
        v.throw(CYLINDER, 0.0065, ring_m=1.8e-4, oval=0.003), wet, at=in_world((0.0, WHEEL_Y, CLAY_Z)), yaw_deg=YAW
    )
    tray = Carved(Box((0.27, 0.085, 0.22), 0.006), (Moved(Box((0.25, 0.09, 0.20), 0.02), (0.0, 0.025, 0.0)),), 0.004)
    wood = Wood(0.16, shift=15, f0=0.03, rough=0.2, relief_m=5e-5)
    return [
        pot,
        at_wheel(Disc(0.150, 0.011, 0.003), Iron(0.07, f0=0.20, rough=0.14, shift=4), WHEEL_Y - 0.0115),
        at_wheel(tray, wood, WHEEL_Y - 0.070),
        at_wheel(Box((0.025, 0.33, 0.025), 0.003), Wood(0.15, along=1, shift=18), 0.33),
        own(Moved(Box((0.22, 0.35, 0.025), 0.003), (0.0, 0.32, CLAY_Z + 0.16)), Wood(0.13, along=1, shift=19)),
        own(Moved(Disc(0.165, 0.018, 0.006), (0.0, 0.468, -0.03)), Wood(0.2, shift=20)),
        own(
            Joined(
                f.chain(((0.11, 0.46, 0.05), (0.17, 0.0, 0.12)), (0.018, 0.016))
                + f.chain(((-0.11, 0.46, -0.11), (-0.17, 0.0, -0.2)), (0.018, 0.016)),
                0.0,
            ),
            Wood(0.2, along=1, shift=21),
        ),
        own(
            Joined(f.chain(((0.11, 0.46, -0.11), (0.17, 0.0, -0.2)), (0.018, 0.016)), 0.0), Wood(0.2, along=1, shift=22)
        ),
    ]


def _workshop() -> list[Thing]:
    """Wall, floor and a shelf of ware in the dark behind."""
    shelf = 1.66
    things = [
        Thing(Box((2.4, 1.6, 0.05)), Plaster(0.055, relief_m=0.0009, shift=11), at=(0.0, 1.2, BACK_Z - 0.05)),
        Thing(Box((2.4, 0.05, 2.0)), Plaster(0.13, relief_m=0.003, shift=13), at=(0.0, -0.05, 0.3)),
        Thing(Box((0.75, 0.016, 0.12), 0.003), Wood(0.14, shift=31), at=(0.35, shelf - 0.016, BACK_Z + 0.121)),
        Thing(Box((0.55, 0.02, 0.18), 0.003), Wood(0.13, shift=33), at=(0.95, 0.90, BACK_Z + 0.182)),
    ]
    row = (
        (forms.JAR, 0.9, 0.30, -0.22),
        (forms.BOTTLE, 0.9, 0.06, 0.02),
        (forms.JUG, 0.95, 0.26, 0.42),
        (forms.CROCK, 0.75, 0.18, 0.72),
    )
    for i, (form, size, rho, x) in enumerate(row):
        skin = Glaze(rho, 0.3, 0.05, 0.015, shift=40.0 + i) if i % 2 else Clay(rho, shift=40.0 + i)
        things.append(Thing(v.throw(forms.scaled(form, size, size)), skin, at=(x, shelf, BACK_Z + 0.12)))
    for i, (form, size, rho, x) in enumerate(((forms.CROCK, 1.0, 0.14, 0.72), (forms.JAR, 1.1, 0.30, 0.97))):
        things.append(
            Thing(
                v.throw(forms.scaled(form, size, size)),
                Glaze(rho, 0.3, 0.06, 0.02, shift=50.0 + i),
                at=(x, 0.92, BACK_Z + 0.2),
            )
        )
    return things


def turned_figure() -> Scene:
    """Build the scene; back wall at z = -1.95, camera towards -z, window on the left beyond the frame."""
    window = Window(
        (-1.45, 0.85, 0.15), (0.0, 0.0, -1.10), (0.0, 1.35, 0.0), 3400.0, panes=(2, 3), bar=0.05, top_gain=0.2
    )
    room = Room((-1.45, 0.0, BACK_Z), (2.4, 2.7, 3.4), 0.24, (window,), 3400.0 * 3.1416 * 1.1 * 1.35)
    return Scene(
        camera=Camera((0.06, 1.30, 2.30), (-0.06, 0.985, 0.0), 190.0, 16.0, 2.25),
        things=tuple(_workshop() + _wheel() + potter()),
        lights=(window,),
        beyond=room,
        grid=GridBox((-0.85, 0.0, BACK_Z - 0.06), (0.85, 1.75, 0.50), 0.0098),
        places={
            "clay": in_world((0.02, WHEEL_Y + 0.085, CLAY_Z + 0.045)),
            "cheek": in_world((0.06, 1.255, 0.275)),
            "hair": in_world((0.02, 1.35, 0.13)),
            "shirt-light": in_world((0.20, 1.045, 0.185)),
            "shirt-shade": in_world((0.115, 0.90, -0.015)),
            "apron-band": in_world((0.11, 0.775, -0.03)),
            "forearm": in_world((0.20, 0.87, 0.34)),
            "trousers": in_world((0.20, 0.56, 0.15)),
            "wall-behind": (-0.5, 1.45, BACK_Z),
        },
        stops=(6.5, 8.4),
        clamp_cd_m2=500.0,
    )
