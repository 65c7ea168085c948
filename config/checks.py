"""Named system checks: each says what is wrong and what to do about it."""
