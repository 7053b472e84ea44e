"""Photographs of a made-up pottery: each scene described in its own file, its light traced by a renderer in an extra."""
