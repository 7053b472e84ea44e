"""Materials told to the path tracer: each pattern becomes a few of its shading nodes.

The only file that knows the tracer's nodes; `tracer.py` is the only one that imports the tracer and hands its objects in.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.workshop.photographs.scene import Mist
from sim.workshop.photographs.surface import (
    Along,
    Bands,
    Blend,
    Cells,
    Cloudy,
    EachOne,
    Even,
    Hollows,
    Material,
    Pattern,
    Plus,
    Rings,
    Station,
    Times,
    Upward,
    Value,
    without_grain,
)

UNIT_CD_M2 = 100.0  # chosen: one unit of the tracer's radiance, so that its numbers stay near 1
Socket = Any  # a socket of the tracer's node tree; the tracer carries no types


class Shading:
    """The node tree of one material under construction."""

    def __init__(self, tree: Any, finest_m: float) -> None:
        self.tree, self.finest_m = tree, finest_m  # clouding finer than this cannot be seen and only makes noise
        tree.nodes.clear()
        place = self.node("ShaderNodeAttribute", attribute_name="rest")
        info = self.node("ShaderNodeObjectInfo")
        self.each = info.outputs["Random"]
        shifted = self.node("ShaderNodeVectorMath", operation="MULTIPLY_ADD")
        self.tree.links.new(self.each, shifted.inputs[0])
        shifted.inputs[1].default_value = (31.0, 17.0, 43.0)  # every thing has its own stretch of a pattern
        self.tree.links.new(place.outputs["Vector"], shifted.inputs[2])
        self.own, self.place = place.outputs["Vector"], shifted.outputs[0]

    def node(self, kind: str, **settings: Any) -> Any:
        made = self.tree.nodes.new(kind)
        for key, value in settings.items():
            setattr(made, key, value)
        return made

    def put(self, value: Any, socket: Socket) -> None:
        """Give a socket a number, a pattern or another socket."""
        if isinstance(value, int | float):
            current = socket.default_value
            socket.default_value = (value, value, value, 1.0) if hasattr(current, "__len__") else float(value)
        elif isinstance(value, Even):
            self.put(value.value, socket)
        elif hasattr(value, "is_linked"):
            self.tree.links.new(value, socket)
        else:
            self.tree.links.new(self.pattern(value), socket)

    def maths(self, operation: str, first: Any, second: Any = 0.0) -> Socket:
        made = self.node("ShaderNodeMath", operation=operation)
        self.put(first, made.inputs[0])
        self.put(second, made.inputs[1])
        return made.outputs[0]

    def spread(self, value: Any, start: float, end: float, low: float, high: float) -> Socket:
        """`start`..`end` laid onto `low`..`high`, held beyond."""
        made = self.node("ShaderNodeMapRange", clamp=True)
        for k, number in enumerate((start, end, low, high), 1):
            made.inputs[k].default_value = number
        self.put(value, made.inputs[0])
        return made.outputs[0]

    def stretched(self, by: tuple[float, float, float]) -> Socket:
        made = self.node("ShaderNodeVectorMath", operation="DIVIDE")
        self.put(self.place, made.inputs[0])
        made.inputs[1].default_value = by
        return made.outputs[0]

    def pattern(self, pattern: Pattern) -> Socket:
        """The socket that carries a pattern's number."""
        match pattern:
            case Cloudy():
                return self._cloudy(pattern)
            case Cells():
                return self._cells(pattern)
            case Bands():
                return self._bands(pattern)
            case Along(axis, start, end):
                parts = self.node("ShaderNodeSeparateXYZ")
                self.put(self.own, parts.inputs[0])
                return self.spread(parts.outputs["xyz".index(axis)], start, end, 0.0, 1.0)
            case Station(axis):
                parts = self.node("ShaderNodeSeparateXYZ")
                self.put(self.own, parts.inputs[0])
                return parts.outputs["xyz".index(axis)]
            case Rings(of, period, low, high):
                wave = self.maths("SINE", self.maths("MULTIPLY", of, 6.28319 / period))
                return self.spread(wave, -1.0, 1.0, low, high)
            case Upward(start, end):
                parts = self.node("ShaderNodeSeparateXYZ")
                self.put(self.node("ShaderNodeNewGeometry").outputs["Normal"], parts.inputs[0])
                return self.spread(parts.outputs[2], start, end, 0.0, 1.0)
            case Value(name):
                return self.node("ShaderNodeAttribute", attribute_name=name).outputs["Fac"]
            case EachOne(low, high):
                return self.spread(self.each, 0.0, 1.0, low, high)
            case Hollows(reach):
                made = self.node("ShaderNodeAmbientOcclusion", samples=6)
                made.inputs["Distance"].default_value = reach
                return self.maths("SUBTRACT", 1.0, made.outputs["AO"])
            case Blend() | Times() | Plus():
                return self._together(pattern)
        raise TypeError(f"pattern must be one of those in surface.py, got {type(pattern).__name__}")

    def _together(self, pattern: Blend | Times | Plus) -> Socket:
        if not isinstance(pattern, Blend):
            return self.maths("MULTIPLY" if isinstance(pattern, Times) else "ADD", pattern.first, pattern.second)
        made = self.node("ShaderNodeMix", data_type="FLOAT", clamp_factor=True)
        for value, socket in ((pattern.by, 0), (pattern.first, 2), (pattern.second, 3)):
            self.put(value, made.inputs[socket])
        return made.outputs[0]

    def _cloudy(self, c: Cloudy) -> Socket:
        made = self.node("ShaderNodeTexNoise", noise_dimensions="3D", normalize=True)
        self.put(self.stretched(c.stretch), made.inputs["Vector"])
        detail = float(np.clip(np.log2(min(c.stretch) * c.size_m / self.finest_m), 0, c.detail))
        for key, value in (("Scale", 1 / c.size_m), ("Detail", detail), ("Roughness", c.harsh), ("Distortion", c.warp)):
            made.inputs[key].default_value = value
        half = 0.25 / c.sharp
        return self.spread(made.outputs[0], 0.5 - half, 0.5 + half, c.low, c.high)

    def _cells(self, c: Cells) -> Socket:
        made = self.node("ShaderNodeTexVoronoi", feature="F1" if c.what == "grain" else "DISTANCE_TO_EDGE")
        self.put(self._wandering(c) if c.warp else self.stretched(c.stretch), made.inputs["Vector"])
        made.inputs["Scale"].default_value = 1 / c.size_m
        made.inputs["Randomness"].default_value = c.uneven
        return self.spread(made.outputs["Distance"], 0.0, c.reach, c.low, c.high)

    def _wandering(self, c: Cells) -> Socket:
        """Places moved aside by up to `warp` half sizes, so that borders are not straight."""
        noise, moved = self.node("ShaderNodeTexNoise"), self.node("ShaderNodeVectorMath", operation="MULTIPLY_ADD")
        place = self.stretched(c.stretch)
        self.put(place, noise.inputs["Vector"])
        noise.inputs["Scale"].default_value, noise.inputs["Detail"].default_value = 2 / c.size_m, 3.0
        self.put(noise.outputs["Color"], moved.inputs[0])
        moved.inputs[1].default_value = (c.warp * c.size_m,) * 3
        self.put(place, moved.inputs[2])
        return moved.outputs[0]

    def _bands(self, b: Bands) -> Socket:
        made = self.node("ShaderNodeTexWave", wave_type="RINGS" if b.rings else "BANDS", wave_profile="SIN")
        setattr(made, "rings_direction" if b.rings else "bands_direction", b.along.upper())
        self.put(self.own if b.rings else self.place, made.inputs["Vector"])
        made.inputs["Scale"].default_value = 0.314159 / b.size_m  # the tracer's wave has 20 radians a unit
        made.inputs["Distortion"].default_value = b.warp
        made.inputs["Detail"].default_value = 3.0
        made.inputs["Detail Scale"].default_value = b.size_m / b.warp_size_m
        return self.spread(made.outputs["Fac"], 0.0, 1.0, b.low, b.high)

    def material(self, m: Material, mist: Mist | None = None) -> None:
        """Build the whole material and join it to the output."""
        shader = self._glass(m) if m.glass else self._surface(m)
        if not (m.glass or m.metal or m.lets_through or m.lamp or m.deep_mm):
            eye = self.node("ShaderNodeLightPath")
            shader = self.mixed(eye.outputs["Is Diffuse Ray"], shader, self._from_afar(m))
        if m.holes != 0.0:
            shader = self.mixed(m.holes, shader, self.node("ShaderNodeBsdfTransparent").outputs[0])
        if mist is not None:
            shader = self._misted(shader, mist)
        self.tree.links.new(shader, self.node("ShaderNodeOutputMaterial").inputs["Surface"])

    def mixed(self, share: Any, first: Socket, second: Socket) -> Socket:
        made = self.node("ShaderNodeMixShader")
        self.put(share, made.inputs[0])
        self.tree.links.new(first, made.inputs[1])
        self.tree.links.new(second, made.inputs[2])
        return made.outputs[0]

    def _glass(self, m: Material) -> Socket:
        """Thin panes: mirrored by Fresnel's law, else clear, so that light through a window is found without chance."""
        mirror = self.node("ShaderNodeBsdfGlossy")
        self.put(m.roughness, mirror.inputs["Roughness"])
        mirror.inputs["Color"].default_value = (1, 1, 1, 1)
        clear = self.node("ShaderNodeBsdfTransparent")
        self.put(m.reflectance, clear.inputs["Color"])
        share = self.node("ShaderNodeFresnel")
        share.inputs["IOR"].default_value = m.refraction
        relief = self._relief(m.relief)
        if relief is not None:
            self.put(relief, mirror.inputs["Normal"])
        return self.mixed(self.maths("MULTIPLY", share.outputs[0], 2.0), clear.outputs[0], mirror.outputs[0])

    def _from_afar(self, m: Material) -> Socket:
        """What a surface adds to the light of others: its mean tone without grain, relief or gloss, which cannot be told there.

        A twentieth is added for the gloss (Fresnel at 1.5, averaged over the half room); this halves the work of a path.
        """
        made = self.node("ShaderNodeBsdfDiffuse")
        self.put(Plus(0.05, Times(0.95, without_grain(m.reflectance))), made.inputs["Color"])
        if m.glow_cd_m2 == 0.0:
            return made.outputs[0]
        glow, both = self.node("ShaderNodeEmission"), self.node("ShaderNodeAddShader")
        self.put(self.maths("DIVIDE", m.glow_cd_m2, UNIT_CD_M2), glow.inputs["Strength"])
        self.tree.links.new(made.outputs[0], both.inputs[0])
        self.tree.links.new(glow.outputs[0], both.inputs[1])
        return both.outputs[0]

    def _relief(self, heights: tuple[Pattern, ...]) -> Socket | None:
        if not heights:
            return None
        total = self.pattern(heights[0])
        for height in heights[1:]:
            total = self.maths("ADD", total, self.pattern(height))
        made = self.node("ShaderNodeBump")
        made.inputs["Strength"].default_value = 1.0
        made.inputs["Distance"].default_value = 1.0
        made.inputs["Filter Width"].default_value = 0.7  # px over which a slope is taken: as finely as film can tell
        self.put(total, made.inputs["Height"])
        return made.outputs["Normal"]

    def _surface(self, m: Material) -> Socket:
        made = self.node("ShaderNodeBsdfPrincipled")
        self.put(m.reflectance, made.inputs["Base Color"])
        self.put(m.roughness, made.inputs["Roughness"])
        self.put(m.metal, made.inputs["Metallic"])
        self.put(m.refraction, made.inputs["IOR"])
        self.put(m.coat, made.inputs["Coat Weight"])
        self.put(m.coat_roughness, made.inputs["Coat Roughness"])
        relief = self._relief(m.relief)
        if relief is not None:
            self.put(relief, made.inputs["Normal"])
            if m.coat_bumps:
                self.put(relief, made.inputs["Coat Normal"])
        if m.deep_mm:
            made.inputs["Subsurface Weight"].default_value = 1.0
            made.inputs["Subsurface Radius"].default_value = (m.deep_mm,) * 3
            made.inputs["Subsurface Scale"].default_value = 0.001
        if m.glow_cd_m2 != 0.0:
            made.inputs["Emission Color"].default_value = (1, 1, 1, 1)
            self.put(self.maths("DIVIDE", m.glow_cd_m2, UNIT_CD_M2), made.inputs["Emission Strength"])
        if not m.lets_through:
            return made.outputs[0]
        through = self.node("ShaderNodeBsdfTranslucent")
        self.put(m.reflectance, through.inputs["Color"])
        return self.mixed(m.lets_through, made.outputs[0], through.outputs[0])

    def _misted(self, shader: Socket, mist: Mist) -> Socket:
        """What the lens sees of a thing through mist that thins upwards: tau = per_m d H (e^-a - e^-b) / (b - a)."""
        eye, geometry = self.node("ShaderNodeLightPath"), self.node("ShaderNodeNewGeometry")
        cam = self.node("ShaderNodeCameraData")
        parts, ahead = self.node("ShaderNodeSeparateXYZ"), self.node("ShaderNodeSeparateXYZ")
        self.put(geometry.outputs["Position"], parts.inputs[0])
        self.put(geometry.outputs["Incoming"], ahead.inputs[0])
        distance = cam.outputs["View Distance"]
        b = self.maths("DIVIDE", parts.outputs[2], mist.height_m)
        risen = self.maths("DIVIDE", self.maths("MULTIPLY", ahead.outputs[2], distance), mist.height_m)
        risen = self.maths("ADD", risen, 1.3e-5)  # level rays would divide by nothing
        a = self.maths("ADD", b, risen)  # the lens's own height; "Incoming" points back to it
        share = self.maths("DIVIDE", self.maths("SUBTRACT", self._fading(b), self._fading(a)), risen)
        tau = self.maths("MULTIPLY", self.maths("MULTIPLY", distance, mist.per_m), share)
        lost = self.maths("SUBTRACT", 1.0, self._fading(tau))
        glow = self.node("ShaderNodeEmission")
        self.put(mist.luminance_cd_m2 / UNIT_CD_M2, glow.inputs["Strength"])
        share = self.maths("MULTIPLY", lost, eye.outputs["Is Camera Ray"])
        return self.mixed(share, shader, glow.outputs[0])

    def _fading(self, by: Socket) -> Socket:
        return self.maths("EXPONENT", self.maths("MULTIPLY", by, -1.0))
