"""The queries of jobs, one noun a file."""
