"""An evening without a window: decisions, paper box, clock, replay, durable keeping."""
