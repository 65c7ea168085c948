"""The forms of inspections, one noun a file."""
