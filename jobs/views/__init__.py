"""The views of jobs, one noun a file."""
