"""What the worker does with photos."""

from inspections.tasks.photo_parts import drop_left_photo_parts
from inspections.tasks.photos import pick_up_left_photos, prepare_photo

__all__ = ["drop_left_photo_parts", "pick_up_left_photos", "prepare_photo"]
