"""The scenes there are, by name."""

from sim.workshop.scenes.sets.clay_head import clay_head
from sim.workshop.scenes.sets.clay_pit import clay_pit
from sim.workshop.scenes.sets.drying_racks import drying_racks
from sim.workshop.scenes.sets.glaze_shelf import glaze_shelf
from sim.workshop.scenes.sets.kiln_mouth import kiln_mouth
from sim.workshop.scenes.sets.mist_yard import mist_yard
from sim.workshop.scenes.sets.packing_room import packing_room
from sim.workshop.scenes.sets.still_life import still_life
from sim.workshop.scenes.sets.turned_figure import turned_figure
from sim.workshop.scenes.sets.wheel_window import wheel_window
from sim.workshop.scenes.stage import SceneMaker

SCENES: dict[str, SceneMaker] = {
    "glaze-shelf": glaze_shelf,
    "wheel-window": wheel_window,
    "kiln-mouth": kiln_mouth,
    "mist-yard": mist_yard,
    "clay-head": clay_head,
    "clay-pit": clay_pit,
    "drying-racks": drying_racks,
    "packing-room": packing_room,
    "still-life": still_life,
    "turned-figure": turned_figure,
}


def scene_names() -> tuple[str, ...]:
    """Names of all scenes, in the order of the catalogue."""
    return tuple(SCENES)
