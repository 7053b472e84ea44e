"""Head, lens, column and easel: the light on the paper."""
