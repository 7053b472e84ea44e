"""The wet side: trays, clocks, the sheet coming up, and the plan of exposures as bars."""
