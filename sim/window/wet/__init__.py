"""The wet side: trays, clocks, the sheet coming up."""
