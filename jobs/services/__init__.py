"""The services of jobs, one noun a file."""
