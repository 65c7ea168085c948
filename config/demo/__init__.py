"""The invented shop: read from fixtures/demo and built through the services, as people would build it."""
