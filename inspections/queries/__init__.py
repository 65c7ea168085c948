"""The queries of inspections, one noun a file."""
