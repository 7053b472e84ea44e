"""The window's own controls: plates, lamps, lens rings and columns drawn for a darkroom, and how events reach them."""
