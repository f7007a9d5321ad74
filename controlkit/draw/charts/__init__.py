"""The charts: curves, bars and lists."""
