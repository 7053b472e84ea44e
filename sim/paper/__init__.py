"""What a sheet does with exposure: emulsion, curves, development, dry-down. Knows no enlarger."""
