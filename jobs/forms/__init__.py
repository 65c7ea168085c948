"""The forms of jobs, one noun a file."""
