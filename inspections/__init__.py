"""What was found: stages, measures, photos, defects, sign-off and certificates."""
