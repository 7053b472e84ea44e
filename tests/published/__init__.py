"""Check values from the world outside: every number stands beside its source, and every check can fail."""
