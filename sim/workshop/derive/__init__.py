"""Derive: from what lessons and sleeves wish for by hand to what follows on today's film, light and paper."""
