"""Scoring: exercises, marks, advice, the solver."""
