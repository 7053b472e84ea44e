"""The only fit: from readings to papers and filters, and how far it is off where nobody measured."""
