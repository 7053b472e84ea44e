"""The darkroom without a window: desk, easel, paper, trays and wall."""
