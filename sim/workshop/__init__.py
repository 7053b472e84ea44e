"""Renders scenes and figures into assets_generated, and fits the papers and filters to their published ranges."""
