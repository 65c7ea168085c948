"""What the worker does with photos."""

from inspections.tasks.photos import pick_up_left_photos, prepare_photo

__all__ = ["pick_up_left_photos", "prepare_photo"]
