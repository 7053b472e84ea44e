"""Tonewright: a teaching darkroom. Light flows one way through its rooms; see DEVELOPERS.md."""
