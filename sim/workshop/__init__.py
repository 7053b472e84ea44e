"""Where negatives, figures and what lessons claim are made: scenes, derive, generated files."""
