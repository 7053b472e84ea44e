"""Tests of papers and trays: filters, curves and fog, worked by hand."""
