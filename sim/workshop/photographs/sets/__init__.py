"""The scenes: one file a place, to be read as the description of it."""
