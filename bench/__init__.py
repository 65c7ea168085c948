"""What the calculations cost, beside plain ways to the same answers."""
