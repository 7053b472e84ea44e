"""Lessons as rules: target tones, marks, advice, and the solver that says what can be printed."""
