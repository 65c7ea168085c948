"""The views of inspections, one noun a file."""
