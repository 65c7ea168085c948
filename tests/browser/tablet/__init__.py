"""A tablet at a house: a browser of its own with a profile on the disk, on a cable that can be cut."""
