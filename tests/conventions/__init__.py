"""Which way is which: sign, orientation and unit conventions."""
