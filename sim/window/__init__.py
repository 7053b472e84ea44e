"""Door: the window. The only place that imports pygame; it asks the bench and draws the answer."""
