"""What the worker does: each task takes a row's key and calls a service."""

from jobs.tasks.heartbeat import beat_heart

__all__ = ["beat_heart"]
