"""Where decisions meet light and paper: the printing record, cards, strips, the sum of exposures, make_print."""
