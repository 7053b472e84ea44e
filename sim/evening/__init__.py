"""What happened in an evening: its log, its state, locks, closing and reading a submission."""
