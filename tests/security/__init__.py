"""What a stranger, a curious colleague or bad luck may try."""
