"""Template tags of inspections."""
