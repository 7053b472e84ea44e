"""The scenes there are, by name."""

from sim.workshop.scenes.sets.glaze_shelf import glaze_shelf
from sim.workshop.scenes.sets.kiln_mouth import kiln_mouth
from sim.workshop.scenes.sets.wheel_window import wheel_window
from sim.workshop.scenes.stage import SceneMaker

SCENES: dict[str, SceneMaker] = {
    "glaze-shelf": glaze_shelf,
    "wheel-window": wheel_window,
    "kiln-mouth": kiln_mouth,
}


def scene_names() -> tuple[str, ...]:
    """Names of all scenes, in the order of the catalogue."""
    return tuple(SCENES)
