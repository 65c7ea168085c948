"""What the worker does with photos."""
