"""Printers who look for points instead of prints: none of them may pass; and honest ones, who must."""
