"""Words templates may use."""
