"""What the worker does: each task takes a row's key and calls a service."""

from jobs.tasks.documents import pick_up_left_documents, render_document
from jobs.tasks.heartbeat import beat_heart
from jobs.tasks.mail import pick_up_left_mail, queue_due_reminders, send_mail

__all__ = [
    "beat_heart",
    "pick_up_left_documents",
    "pick_up_left_mail",
    "queue_due_reminders",
    "render_document",
    "send_mail",
]
