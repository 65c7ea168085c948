"""Commands of the project as a whole."""
