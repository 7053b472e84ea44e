"""From a described scene to its luminance in cd/m2: the only file that touches the path tracer.

The tracer (`bpy`, in the extra "scenes") is imported when a picture is asked for. It follows light in arbitrary units of
radiance; one unit is UNIT_CD_M2, the same for every light, surface and sky, so that a white sheet of reflectance rho
under E lux comes out as rho E / pi. Nothing is clamped. Seeds are fixed: the same scene gives the same picture on one machine.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused
from sim.workshop.photographs.form import Form
from sim.workshop.photographs.scene import Camera, Light, Many, Mist, Panel, Scene, Sky, bearing
from sim.workshop.photographs.shading import UNIT_CD_M2, Shading
from sim.workshop.photographs.surface import Material

F32 = NDArray[np.float32]
# corners of the square that carries a copy, along the copy's x and y; the first edge gives the copy's direction
FACE_OF_COPY = ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))


@dataclass(frozen=True)
class Quality:
    """How much work a picture gets: light paths a pixel, the noise at which a pixel is left alone (0: never), threads.

    Eight paths, denoised: on a window of the shelf 0.05 log from 64 paths after a lens's spread, mostly the noise of the 64;
    the finest relief of plaster keeps half its contrast.
    """

    paths: int = 8
    noise: float = 0.0
    threads: int = 2
    denoise: bool = True


PREVIEW = Quality(paths=8, noise=0.03)


def _bpy() -> Any:
    try:
        import bpy
    except ImportError:
        raise Refused("making scenes needs the path tracer: install the extra with pip install 'tonewright[scenes]'"
        ) from None
    return bpy


def trace(
    scene: Scene, wide_px: int, high_px: int, quality: Quality = PREVIEW, window: tuple[int, int, int, int] | None = None
) -> F32:
    """Photograph a scene: luminance in cd/m2, float32 [row, col], y down.

    `window` (top, bottom, left, right) in pixels renders only that part of the picture and returns only it.
    """
    bpy = _bpy()
    bpy.ops.wm.read_factory_settings(use_empty=True)
    settings = bpy.context.scene
    _set_quality(settings, quality, scene.bounces)
    _Builder(bpy, scene.mist, 1.5 * scene.camera.pixel_m(max(wide_px, high_px))).build(scene)
    settings.render.resolution_x, settings.render.resolution_y = wide_px, high_px
    if window is not None:
        _set_window(settings.render, window, wide_px, high_px)
    return _read_picture(bpy, settings)


def _set_quality(settings: Any, quality: Quality, bounces: int) -> None:
    settings.render.engine = "CYCLES"
    settings.render.threads_mode, settings.render.threads = "FIXED", quality.threads
    settings.render.use_persistent_data = False
    settings.render.film_transparent = False
    cycles = settings.cycles
    cycles.device, cycles.seed = "CPU", 1
    cycles.samples, cycles.use_adaptive_sampling = quality.paths, quality.noise > 0
    cycles.adaptive_threshold, cycles.adaptive_min_samples = quality.noise, min(12, quality.paths)
    cycles.use_denoising, cycles.denoiser = quality.denoise, "OPENIMAGEDENOISE"
    cycles.denoising_input_passes, cycles.denoising_prefilter = "RGB_ALBEDO_NORMAL", "FAST"
    cycles.sample_clamp_direct = cycles.sample_clamp_indirect = 0.0
    cycles.max_bounces, cycles.diffuse_bounces, cycles.glossy_bounces = bounces + 4, bounces, 6
    cycles.transparent_max_bounces, cycles.transmission_bounces = 24, 8
    cycles.blur_glossy = 0.5
    cycles.use_light_tree = False  # a scene has a few large lights: choosing among them costs more than it saves
    cycles.pixel_filter_type, cycles.filter_width = "BLACKMAN_HARRIS", 1.3


def _set_window(render: Any, window: tuple[int, int, int, int], wide_px: int, high_px: int) -> None:
    top, bottom, left, right = window
    render.use_border = render.use_crop_to_border = True
    # half a pixel on, because the tracer cuts shares of the picture down to whole pixels
    render.border_min_x, render.border_max_x = (left + 0.5) / wide_px, (right + 0.5) / wide_px
    render.border_min_y, render.border_max_y = (high_px - bottom + 0.5) / high_px, (high_px - top + 0.5) / high_px


def _read_picture(bpy: Any, settings: Any) -> F32:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "picture.exr"
        picture = settings.render.image_settings
        picture.file_format, picture.color_depth, picture.color_mode = "OPEN_EXR", "32", "RGB"
        settings.render.filepath = str(path)
        bpy.ops.render.render(write_still=True)
        image = bpy.data.images.load(str(path))
        image.colorspace_settings.name = "Non-Color"
        wide, high = image.size
        values = np.empty(wide * high * image.channels, np.float32)
        image.pixels.foreach_get(values)
    grey = values.reshape(high, wide, -1)[::-1, :, 1]
    return np.ascontiguousarray(np.maximum(grey, 0.0) * np.float32(UNIT_CD_M2))


class _Builder:
    """Puts a described scene into the tracer, thing by thing; the same form or material is made once."""

    def __init__(self, bpy: Any, mist: Mist | None, finest_m: float) -> None:
        self.bpy, self.mist, self.finest_m = bpy, mist, finest_m
        self.meshes: dict[tuple[int, int], Any] = {}
        self.materials: dict[int, Any] = {}
        self.kept: list[object] = []  # so that no id is given twice while this lasts
        self.count = 0

    def build(self, scene: Scene) -> None:
        for thing in scene.things:
            if isinstance(thing, Many):
                self.sow(thing)
            else:
                self.put(thing.form, thing.material, thing.matrix()).visible_camera = thing.seen
        for light in scene.lights:
            self.light(light)
        self.sky(scene)
        self.camera(scene.camera)

    def put(self, form: Form, material: Material, matrix: NDArray[np.float64]) -> Any:
        made = self.bpy.data.objects.new(f"thing-{self.count:06d}", self.mesh(form, material))  # its name seeds its patterns
        self.count += 1
        made.matrix_world = [list(column) for column in matrix.T]  # the tracer takes columns
        self.bpy.context.scene.collection.objects.link(made)
        return made

    def sow(self, many: Many) -> None:
        """The same form many times: one small square for each, on which the tracer sets a copy."""
        middle, right, up = many.matrices[:, None, :3, 3], many.matrices[:, None, :3, 0], many.matrices[:, None, :3, 1]
        corners = np.array(FACE_OF_COPY)[None, :, :, None] * np.stack([right, up], 2)
        squares = middle + corners.sum(2)
        net = np.arange(4 * len(many.matrices), dtype=np.int32).reshape(-1, 4)
        carrier = self.bpy.data.objects.new(f"many-{self.count:06d}", _mesh(self.bpy, Form(squares.reshape(-1, 3), net)))
        self.bpy.context.scene.collection.objects.link(carrier)
        self.put(many.form, many.material, np.eye(4)).parent = carrier
        carrier.instance_type, carrier.use_instance_faces_scale = "FACES", True
        carrier.show_instancer_for_render = False

    def mesh(self, form: Form, material: Material) -> Any:
        key = (id(form), id(material))
        if key not in self.meshes:
            self.kept += [form, material]
            self.meshes[key] = _mesh(self.bpy, form)
            self.meshes[key].materials.append(self.material(material))
        return self.meshes[key]

    def material(self, material: Material) -> Any:
        if id(material) not in self.materials:
            made = self.bpy.data.materials.new("surface")
            made.use_nodes = True
            made.displacement_method = "BUMP"
            made.cycles.emission_sampling = "FRONT" if material.lamp else "NONE"
            Shading(made.node_tree, self.finest_m).material(material, None if material.beyond_mist else self.mist)
            self.materials[id(material)] = made
        return self.materials[id(material)]

    def light(self, light: Light) -> None:
        if isinstance(light, Panel):
            self.panel(light)
            return
        lamp = self.bpy.data.lights.new("lamp", "SUN")
        lamp.energy, lamp.angle = light.lux / UNIT_CD_M2, np.radians(light.wide_deg)
        made = self.bpy.data.objects.new("lamp", lamp)
        made.matrix_world = _facing(bearing(light.height_deg, light.bearing_deg))
        self.bpy.context.scene.collection.objects.link(made)

    def panel(self, panel: Panel) -> None:
        w, h = panel.wide_m / 2, panel.high_m / 2
        ahead = np.array(panel.facing, float) / np.linalg.norm(panel.facing)
        right = np.cross([0.0, 0.0, 1.0] if abs(ahead[2]) < 0.99 else [0.0, 1.0, 0.0], ahead)
        right /= np.linalg.norm(right)
        up = np.cross(ahead, right)
        corners = np.array([-right * w - up * h, right * w - up * h, right * w + up * h, -right * w + up * h])
        form = Form(corners, np.array([[0, 1, 2, 3]], np.int32))
        matrix = np.eye(4)
        matrix[:3, 3] = panel.at
        material = Material(0.0, refraction=1.0, glow_cd_m2=panel.luminance_cd_m2, lamp=True)
        made = self.put(form, material, matrix)
        made.visible_camera, made.visible_shadow = panel.seen, not panel.sun_behind

    def sky(self, scene: Scene) -> None:
        world = self.bpy.data.worlds.new("sky")
        self.bpy.context.scene.world = world
        world.use_nodes = True
        back = world.node_tree.nodes["Background"]
        if scene.sky is None:
            back.inputs["Color"].default_value = (1, 1, 1, 1)
            back.inputs["Strength"].default_value = scene.even_sky_cd_m2 / UNIT_CD_M2
            return
        picture = world.node_tree.nodes.new("ShaderNodeTexEnvironment")
        picture.image = _sky_picture(self.bpy, scene.sky)
        picture.interpolation = "Cubic"
        world.node_tree.links.new(picture.outputs["Color"], back.inputs["Color"])

    def camera(self, camera: Camera) -> None:
        data = self.bpy.data.cameras.new("camera")
        data.lens, data.sensor_width, data.sensor_height = camera.focal_mm, *camera.film_mm
        data.sensor_fit = "HORIZONTAL" if camera.film_mm[0] >= camera.film_mm[1] else "VERTICAL"
        data.shift_x, data.shift_y = camera.cross, camera.rise
        data.clip_start, data.clip_end = 0.01, 1e5
        data.dof.use_dof = True
        data.dof.aperture_fstop, data.dof.focus_distance = camera.f_number, camera.sharp_m()
        data.dof.aperture_blades, data.dof.aperture_rotation = 9, 0.2
        made = self.bpy.data.objects.new("camera", data)
        right, up, ahead = camera.axes()
        matrix = np.eye(4)
        matrix[:3, :3] = np.stack([right, up, -ahead], 1)
        matrix[:3, 3] = camera.at
        made.matrix_world = [list(column) for column in matrix.T]  # the tracer takes columns
        self.bpy.context.scene.collection.objects.link(made)
        self.bpy.context.scene.camera = made


def _facing(away: NDArray[np.float64]) -> list[list[float]]:
    """Columns of the matrix of a lamp whose light comes from `away`."""
    right = np.cross([0.0, 0.0, 1.0] if abs(away[2]) < 0.99 else [0.0, 1.0, 0.0], away)
    right /= np.linalg.norm(right)
    return [[*right, 0.0], [*np.cross(away, right), 0.0], [*away, 0.0], [0.0, 0.0, 0.0, 1.0]]


def _mesh(bpy: Any, form: Form) -> Any:
    mesh = bpy.data.meshes.new("form")
    corners = np.concatenate([form.quads.reshape(-1), form.triangles.reshape(-1)]).astype(np.int32)
    totals = np.concatenate([np.full(len(form.quads), 4), np.full(len(form.triangles), 3)]).astype(np.int32)
    mesh.vertices.add(len(form.points))
    mesh.vertices.foreach_set("co", np.ascontiguousarray(form.points, np.float32).ravel())
    mesh.loops.add(len(corners))
    mesh.loops.foreach_set("vertex_index", corners)
    mesh.polygons.add(len(totals))
    mesh.polygons.foreach_set("loop_start", np.concatenate([[0], np.cumsum(totals)[:-1]]).astype(np.int32))
    mesh.polygons.foreach_set("use_smooth", np.full(len(totals), not form.flat))
    rest = mesh.attributes.new("rest", "FLOAT_VECTOR", "POINT")
    rest.data.foreach_set("vector", np.ascontiguousarray(form.where(), np.float32).ravel())
    for name, value in form.values.items():
        mesh.attributes.new(name, "FLOAT", "POINT").data.foreach_set("value", np.ascontiguousarray(value, np.float32))
    mesh.update()
    return mesh


def _sky_picture(bpy: Any, sky: Sky) -> Any:
    high, wide = sky.luminance_cd_m2.shape
    image = bpy.data.images.new("sky", wide, high, float_buffer=True, is_data=True)
    turned = np.roll(sky.luminance_cd_m2, -(wide // 4), 1)  # the tracer's picture of a sky begins at -x and goes over +y
    grey = (turned[::-1] / UNIT_CD_M2).astype(np.float32)
    rgba = np.repeat(grey[..., None], 4, -1)
    rgba[..., 3] = 1.0
    image.pixels.foreach_set(rgba.ravel())
    image.update()
    return image
