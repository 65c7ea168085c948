"""The services of inspections, one noun a file."""
