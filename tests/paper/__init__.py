"""Tests of paper: developing, drying, safelight, emulsion."""
