"""One small file per verb; every door is opened late, inside the verb."""
