"""Tests of the enlarger: geometry, light, sharpness and cards, worked by hand."""
