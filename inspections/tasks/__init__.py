"""What the worker does with photos, and with what is kept about customers."""

from inspections.tasks.customers import (
    drop_what_is_past_keeping,
    make_customer_export,
    pick_up_left_customers,
    remove_files,
)
from inspections.tasks.photo_parts import drop_left_photo_parts
from inspections.tasks.photos import pick_up_left_photos, prepare_photo

__all__ = [
    "drop_left_photo_parts",
    "drop_what_is_past_keeping",
    "make_customer_export",
    "pick_up_left_customers",
    "pick_up_left_photos",
    "prepare_photo",
    "remove_files",
]
