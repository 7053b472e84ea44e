"""The room one stands in: where, in which light, what is held, and how a frame of it comes about."""
