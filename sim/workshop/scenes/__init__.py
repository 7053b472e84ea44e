"""Scenes of a pottery workshop, lit by arithmetic: geometry and light in, luminance in cd/m2 out; no film, no paper."""
