"""How single form fields are drawn where the page sets them itself."""

from __future__ import annotations

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def styled(field: BoundField) -> SafeString:
    """Draw a field's control with the page's classes, tied to its help and its error."""
    widget = field.field.widget
    if isinstance(widget, forms.CheckboxInput):
        css = "form-check-input"
    else:
        css = "form-select" if isinstance(widget, forms.Select) else "form-control"
    if field.errors:
        css += " is-invalid"
    tied = [f"{field.auto_id}_helptext"] if field.help_text else []
    return field.as_widget(
        attrs={"class": css, "aria-describedby": " ".join([*tied, f"{field.auto_id}_error"])}
    )
