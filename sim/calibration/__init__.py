"""From readings to papers, heads and filters: the only fit."""
