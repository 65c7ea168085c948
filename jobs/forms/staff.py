"""Forms about the people of the shop."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password

from jobs.forms.controls import DayInput
from jobs.forms.layouts import helper, together
from jobs.models import Credential, Crew, Role, Technician, User


class StaffForm(forms.Form):
    """Who somebody is and what they do."""

    name = forms.CharField(max_length=120)
    email = forms.EmailField(label="Mail address", help_text="They sign in with it.")
    role = forms.ChoiceField(choices=Role.choices, initial=Role.INSTALLER)
    phone = forms.CharField(max_length=40, required=False)
    crew = forms.ModelChoiceField(
        Crew.objects.filter(active=True), required=False, empty_label="In no crew",
        help_text="Installers see the jobs their crew is sent to.",
    )  # fmt: skip

    def __init__(self, *args: Any, person: User | None = None, **kwargs: Any) -> None:
        self.person = person
        if person is not None:
            technician = Technician.objects.filter(user=person).first()
            kwargs["initial"] = {
                "name": person.name, "email": person.email, "role": person.role, "phone": person.phone,
                "is_active": person.is_active, "crew": technician.crew if technician else None,
            }  # fmt: skip
        super().__init__(*args, **kwargs)
        rest = [name for name in self.fields if name not in {"name", "email", "role", "phone", "crew"}]
        self.helper = helper(together("name", "email"), together("role", "crew", "phone"), *rest)

    def clean_email(self) -> str:
        """Keep mail addresses apart, whatever their case."""
        email: str = self.cleaned_data["email"].lower()
        others = User.objects.filter(email__iexact=email)
        if self.person is not None:
            others = others.exclude(pk=self.person.pk)
        if others.exists():
            raise forms.ValidationError(
                "Somebody else signs in with this address. Give another one.", "taken"
            )
        return email


class StaffAddForm(StaffForm):
    """Adds somebody, with a password set here or by the person through a mail."""

    password = forms.CharField(
        label="First password", required=False, strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Leave it empty to send a mail with a link to choose one.",
    )  # fmt: skip

    def clean_password(self) -> str:
        """Hold the password to the shop's rules."""
        password: str = self.cleaned_data["password"]
        if password:
            validate_password(password)
        return password


class StaffEditForm(StaffForm):
    """Changes somebody; a person who left is switched off, not deleted."""

    is_active = forms.BooleanField(
        label="May sign in", required=False, help_text="Take the tick away when somebody leaves."
    )


class PasswordForm(forms.Form):
    """Sets somebody's password for them."""

    password = forms.CharField(
        label="New password", strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "new-password"})
    )

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        self.person = person
        super().__init__(*args, **kwargs)

    def clean_password(self) -> str:
        """Hold the password to the shop's rules."""
        password: str = self.cleaned_data["password"]
        validate_password(password, self.person)
        return password


class CredentialForm(forms.ModelForm):  # type: ignore[type-arg]
    """A licence, registration or certificate; it is printed on closing certificates."""

    class Meta:
        model = Credential
        fields = ("name", "number", "issuer", "expires_on")
        widgets = {"expires_on": DayInput}
        labels = {"expires_on": "Valid until"}
        help_texts = {"expires_on": "The last valid day. Leave empty if it does not expire."}

    def __init__(self, *args: Any, technician: Technician, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.technician = technician

    def clean(self) -> dict[str, Any]:
        """Refuse the same credential twice."""
        said = super().clean() or self.cleaned_data
        twins = Credential.objects.filter(
            technician=self.instance.technician, name=said.get("name"), number=said.get("number")
        )
        if twins.exclude(pk=self.instance.pk).exists():
            self.add_error("number", "This credential is already there. Change that one instead.")
        return said


class CrewForm(forms.ModelForm):  # type: ignore[type-arg]
    """One or two people and a van."""

    class Meta:
        model = Crew
        fields = ("name", "active")
        labels = {"active": "Goes out"}
