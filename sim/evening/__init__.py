"""What happened in an evening: its log, its state, replay, keeping, closing and reading a submission."""
