"""Faults drawn by seed and planted in a copy of the program, to see which of a room's own tests notice them."""
