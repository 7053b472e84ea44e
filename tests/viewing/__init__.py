"""What can be seen of a print: loupe and readings."""
