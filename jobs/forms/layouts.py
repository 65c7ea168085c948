"""How forms are set on the page."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Fieldset, Layout, Row


def together(*names: str) -> Any:
    """Return fields that stand side by side where there is room."""
    return Row(*(Column(name, css_class="col-sm") for name in names))


def group(title: str, *parts: Any) -> Any:
    """Return a titled group of fields."""
    return Fieldset(title, *parts, css_class="mb-4")


def helper(*parts: Any) -> Any:
    """Return the crispy helper of a form whose form element and buttons stand in the template."""
    made = FormHelper()
    made.form_tag = False
    made.disable_csrf = True
    made.layout = Layout(*parts)
    return made
