"""Django's form classes with their type arguments, which they do not take while the program runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

if TYPE_CHECKING:
    ModelForm = forms.ModelForm[Any]
    FormSet = forms.BaseFormSet[Any]
    InlineFormSet = forms.BaseInlineFormSet[Any, Any, Any]
else:
    ModelForm = forms.ModelForm
    FormSet = forms.BaseFormSet
    InlineFormSet = forms.BaseInlineFormSet
