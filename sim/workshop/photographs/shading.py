"""Materials told to the path tracer: each pattern becomes a few of its shading nodes.

The only file that knows the tracer's nodes; `tracer.py` is the only one that imports the tracer and hands its objects in.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.workshop.photographs import surface as s
from sim.workshop.photographs.scene import Mist, bearing

UNIT_CD_M2 = 100.0  # chosen: one unit of the tracer's radiance, so that its numbers stay near 1
Socket = Any  # a socket of the tracer's node tree; the tracer carries no types


class Shading:
    """The node tree of one material under construction."""

    def __init__(self, tree: Any, finest_m: float) -> None:
        self.tree, self.finest_m = tree, finest_m  # clouding finer than this cannot be seen and only makes noise
        tree.nodes.clear()
        self.own = self.node("Attribute", attribute_name="rest").outputs["Vector"]
        self.each = self.node("ObjectInfo").outputs["Random"]
        apart = {0: self.each, 1: (31.0, 17.0, 43.0), 2: self.own}  # every thing has its own stretch of a pattern
        self.place = self.node("VectorMath", apart, operation="MULTIPLY_ADD").outputs[0]

    def node(self, kind: str, given: dict[Any, Any] | None = None, **settings: Any) -> Any:
        """One node with what its sockets are given: numbers, patterns or other sockets."""
        made = self.tree.nodes.new("ShaderNode" + kind)
        for key, value in settings.items():
            setattr(made, key, value)
        for name, value in (given or {}).items():
            self.put(value, made.inputs[name])
        return made

    def put(self, value: Any, socket: Socket) -> None:
        if isinstance(value, int | float):
            many = len(socket.default_value) if hasattr(socket.default_value, "__len__") else 0
            socket.default_value = ((value,) * 3 + (1.0,) * (many - 3)) if many else float(value)
        elif isinstance(value, tuple):
            socket.default_value = value
        else:
            self.tree.links.new(value if hasattr(value, "is_linked") else self.pattern(value), socket)

    def maths(self, operation: str, first: Any, second: Any = 0.0) -> Socket:
        return self.node("Math", {0: first, 1: second}, operation=operation).outputs[0]

    def spread(self, value: Any, start: float, end: float, low: float, high: float) -> Socket:
        """`start`..`end` laid onto `low`..`high`, held beyond."""
        return self.node("MapRange", {1: start, 2: end, 3: low, 4: high, 0: value}, clamp=True).outputs[0]

    def stretched(self, by: tuple[float, float, float]) -> Socket:
        return self.node("VectorMath", {0: self.place, 1: by}, operation="DIVIDE").outputs[0]

    def station(self, axis: str) -> Socket:
        return self.node("SeparateXYZ", {0: self.own}).outputs["xyz".index(axis)]

    def pattern(self, pattern: s.Pattern) -> Socket:
        """The socket that carries a pattern's number."""
        match pattern:
            case s.Cloudy():
                return self._cloudy(pattern)
            case s.Cells():
                return self._cells(pattern)
            case s.Bands():
                return self._bands(pattern)
            case s.Along(axis, start, end):
                return self.spread(self.station(axis), start, end, 0.0, 1.0)
            case s.Station(axis):
                return self.station(axis)
            case s.Rings(of, period, low, high):
                wave = self.maths("SINE", self.maths("MULTIPLY", of, 6.28319 / period))
                return self.spread(wave, -1.0, 1.0, low, high)
            case s.Value(name):
                return self.node("Attribute", attribute_name=name).outputs["Fac"]
            case s.EachOne(low, high):
                return self.spread(self.each, 0.0, 1.0, low, high)
            case s.Hollows(reach):
                seen = self.node("AmbientOcclusion", {"Distance": reach}, samples=6).outputs["AO"]
                return self.maths("SUBTRACT", 1.0, seen)
            case s.InRoom(of):
                kept = self.own, self.place
                self.own = self.place = self.node("NewGeometry").outputs["Position"]
                laid = self.pattern(of)
                self.own, self.place = kept
                return laid
            case s.Times(first, second):
                return self.maths("MULTIPLY", first, second)
            case s.Plus(first, second):
                return self.maths("ADD", first, second)
            case s.Blend(first, second, by):
                return self.node("Mix", {0: by, 2: first, 3: second}, data_type="FLOAT", clamp_factor=True).outputs[0]
        raise TypeError(f"pattern must be one of those in surface.py, got {type(pattern).__name__}")

    def _cloudy(self, c: s.Cloudy) -> Socket:
        detail = float(np.clip(np.log2(min(c.stretch) * c.size_m / self.finest_m), 0, c.detail))
        look = {"Scale": 1 / c.size_m, "Detail": detail, "Roughness": c.harsh, "Distortion": c.warp}
        noise = self.node("TexNoise", {"Vector": self.stretched(c.stretch), **look}, noise_dimensions="3D", normalize=True)
        half = 0.25 / c.sharp
        return self.spread(noise.outputs[0], 0.5 - half, 0.5 + half, c.low, c.high)

    def _cells(self, c: s.Cells) -> Socket:
        place = self.stretched(c.stretch)
        if c.warp:  # moved aside by up to `warp` half sizes, so that borders are not straight
            noise = self.node("TexNoise", {"Vector": place, "Scale": 2 / c.size_m, "Detail": 3.0})
            moved = {0: noise.outputs["Color"], 1: (c.warp * c.size_m,) * 3, 2: place}
            place = self.node("VectorMath", moved, operation="MULTIPLY_ADD").outputs[0]
        given = {"Vector": place, "Scale": 1 / c.size_m, "Randomness": c.uneven}
        made = self.node("TexVoronoi", given, feature="F1" if c.what == "grain" else "DISTANCE_TO_EDGE")
        return self.spread(made.outputs["Distance"], 0.0, c.reach, c.low, c.high)

    def _bands(self, b: s.Bands) -> Socket:
        made = self.node("TexWave", wave_type="RINGS" if b.rings else "BANDS", wave_profile="SIN")
        setattr(made, "rings_direction" if b.rings else "bands_direction", b.along.upper())
        given = {"Vector": self.own if b.rings else self.place, "Distortion": b.warp, "Detail": 3.0}
        given["Scale"] = 0.314159 / b.size_m  # the tracer's wave has 20 radians a unit
        for name, value in {**given, "Detail Scale": b.size_m / b.warp_size_m}.items():
            self.put(value, made.inputs[name])
        middle, seen = (b.low + b.high) / 2, float(np.clip(b.size_m / self.finest_m - 1.2, 0.0, 1.0))  # too fine: its mean
        return self.spread(made.outputs["Fac"], 0.0, 1.0, middle + seen * (b.low - middle), middle + seen * (b.high - middle))

    def material(self, m: s.Material, mist: Mist | None = None) -> None:
        """Build the whole material and join it to the output."""
        shader = self._glass(m) if m.glass else self._surface(m)
        if not (m.glass or m.metal or m.lets_through or m.lamp or m.deep_mm):
            shader = self.mixed(self.node("LightPath").outputs["Is Diffuse Ray"], shader, self._from_afar(m))
        if m.holes != 0.0:
            shader = self.mixed(m.holes, shader, self.node("BsdfTransparent").outputs[0])
        if mist is not None:
            shader = self._misted(shader, mist)
        self.node("OutputMaterial", {"Surface": shader})

    def mixed(self, share: Any, first: Socket, second: Socket) -> Socket:
        return self.node("MixShader", {0: share, 1: first, 2: second}).outputs[0]

    def _glass(self, m: s.Material) -> Socket:
        """Thin panes: mirrored by Fresnel's law, else clear, so that light through a window is found without chance."""
        mirror = self.node("BsdfGlossy", {"Roughness": m.roughness, "Color": 1.0, **self._relief(m.relief)})
        clear = self.node("BsdfTransparent", {"Color": m.reflectance})
        share = self.node("Fresnel", {"IOR": m.refraction})
        return self.mixed(self.maths("MULTIPLY", share.outputs[0], 2.0), clear.outputs[0], mirror.outputs[0])

    def _from_afar(self, m: s.Material) -> Socket:
        """What a surface adds to the light of others: its mean tone without grain, relief or gloss, which cannot be told there.

        A twentieth is added for the gloss (Fresnel at 1.5, averaged over the half room).
        """
        tone = s.Plus(0.05, s.Times(0.95, s.without_grain(m.reflectance)))
        made = self.node("BsdfDiffuse", {"Color": tone}).outputs[0]
        if m.glow_cd_m2 == 0.0:
            return made
        glow = self.node("Emission", {"Strength": self.maths("DIVIDE", m.glow_cd_m2, UNIT_CD_M2)})
        return self.node("AddShader", {0: made, 1: glow.outputs[0]}).outputs[0]

    def _relief(self, heights: tuple[s.Pattern, ...]) -> dict[str, Socket]:
        if not heights:
            return {}
        total = self.pattern(heights[0])
        for height in heights[1:]:
            total = self.maths("ADD", total, self.pattern(height))
        width = 0.7  # px over which a slope is taken: as finely as film can tell
        bump = self.node("Bump", {"Strength": 1.0, "Distance": 1.0, "Filter Width": width, "Height": total})
        return {"Normal": bump.outputs["Normal"]}

    def _surface(self, m: s.Material) -> Socket:
        given: dict[str, Any] = {"Base Color": m.reflectance, "Roughness": m.roughness, "IOR": m.refraction}
        given |= {"Metallic": m.metal, "Coat Weight": m.coat, "Coat Roughness": m.coat_roughness, **self._relief(m.relief)}
        if m.coat_bumps and m.relief:
            given["Coat Normal"] = given["Normal"]
        if m.deep_mm:
            given |= {"Subsurface Weight": 1.0, "Subsurface Radius": m.deep_mm, "Subsurface Scale": 0.001}
        if m.glow_cd_m2 != 0.0:
            given |= {"Emission Color": 1.0, "Emission Strength": self.maths("DIVIDE", m.glow_cd_m2, UNIT_CD_M2)}
        made = self.node("BsdfPrincipled", given).outputs[0]
        if not m.lets_through:
            return made
        return self.mixed(m.lets_through, made, self.node("BsdfTranslucent", {"Color": m.reflectance}).outputs[0])

    def _misted(self, shader: Socket, mist: Mist) -> Socket:
        """What the lens sees of a thing through mist that thins upwards: tau = per_m d H (e^-a - e^-b) / (b - a)."""
        geometry, distance = self.node("NewGeometry"), self.node("CameraData").outputs["View Distance"]
        height = self.node("SeparateXYZ", {0: geometry.outputs["Position"]}).outputs[2]
        ahead = self.node("SeparateXYZ", {0: geometry.outputs["Incoming"]}).outputs[2]
        b = self.maths("DIVIDE", height, mist.height_m)
        risen = self.maths("DIVIDE", self.maths("MULTIPLY", ahead, distance), mist.height_m)
        risen = self.maths("ADD", risen, 1.3e-5)  # level rays would divide by nothing
        a = self.maths("ADD", b, risen)  # the lens's own height; "Incoming" points back to it
        share = self.maths("DIVIDE", self.maths("SUBTRACT", self._fading(b), self._fading(a)), risen)
        misty = self.maths("MAXIMUM", self.maths("SUBTRACT", distance, mist.clear_m), 0.0)
        tau = self.maths("MULTIPLY", self.maths("MULTIPLY", misty, mist.per_m), share)
        if mist.drift != 1.0:
            tau = self.maths("MULTIPLY", tau, mist.drift)
        lost = self.maths("SUBTRACT", 1.0, self._fading(tau))
        glow = self.node("Emission", {"Strength": self._lit_mist(mist, geometry.outputs["Incoming"])})
        path = self.node("LightPath")
        seen = path.outputs["Is Camera Ray"]
        if mist.in_mirrors:
            seen = self.maths("MAXIMUM", seen, path.outputs["Is Glossy Ray"])
        return self.mixed(self.maths("MULTIPLY", lost, seen), shader, glow.outputs[0])

    def _lit_mist(self, mist: Mist, back: Socket) -> Any:
        if mist.brighter == 1.0:
            return mist.luminance_cd_m2 / UNIT_CD_M2
        from_sun = tuple(-float(part) for part in bearing(*mist.sun_deg))  # "Incoming" points back to the lens
        apart = self.maths("SUBTRACT", self.node("VectorMath", {0: back, 1: from_sun}, operation="DOT_PRODUCT").outputs[1], 1.0)
        near = self.maths("EXPONENT", self.maths("MULTIPLY", apart, mist.sharpness()))
        more = self.maths("ADD", self.maths("MULTIPLY", near, mist.brighter - 1.0), 1.0)
        return self.maths("MULTIPLY", more, mist.luminance_cd_m2 / UNIT_CD_M2)

    def _fading(self, by: Socket) -> Socket:
        return self.maths("EXPONENT", self.maths("MULTIPLY", by, -1.0))
