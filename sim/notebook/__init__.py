"""What is written about an evening: records in words, the plan, the printing map, reprints, the notebook's pages."""
