"""What happened in an evening: its log, its state, replay, locks, closing and reading a submission."""
