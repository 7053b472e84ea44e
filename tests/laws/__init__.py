"""Laws of the darkroom that hold whatever the numbers are, each under its stated conditions."""
