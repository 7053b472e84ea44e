"""The light that reaches the easel: lamp, filters, lens, column, focus, flare and contact frame. Knows no paper."""
