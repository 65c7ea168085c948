"""What anybody may ask about a certificate: by its code, or with the file in hand."""

from __future__ import annotations

from django import forms
from django.core.files.uploadedfile import UploadedFile

from inspections.verify_codes import verify_code_read

#: A certificate stays below 3 MB; a pack that holds one is not much larger.
MOST_BYTES = 12 * 1024 * 1024
#: Readers of PDF look for its first words this far into a file (ISO 32000-1, note 13 of annex H).
_HEAD = 1024


class CodeForm(forms.Form):
    """A code as it stands on the paper."""

    code = forms.CharField(
        label="Code on the certificate or report",
        help_text="Under the square code on its first page, such as FW-000001-7K3M-9QRT-2XVB-H4N8.",
        max_length=60,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
        error_messages={"required": "Type the code that stands under the square code on the first page."},
    )

    def clean_code(self) -> tuple[int, str]:
        """Return number and key."""
        found = verify_code_read(self.cleaned_data["code"])
        if found is None:
            raise forms.ValidationError(
                "That is no whole code. It begins with FW and the number, and four groups of four letters and"
                " figures follow. Type all of it.",
                code="no_code",
            )
        return found


class PaperForm(forms.Form):
    """A PDF that somebody was given."""

    paper = forms.FileField(
        label="The PDF file",
        help_text="The file itself, not a scan or a photo of the paper. It is looked at and not kept.",
        widget=forms.ClearableFileInput(attrs={"accept": "application/pdf,.pdf"}),
        error_messages={
            "required": "Choose the PDF file first.",
            "empty": "That file is empty. Ask whoever sent it to send it again.",
        },
    )

    def clean_paper(self) -> bytes:
        """Return the file's bytes."""
        paper: UploadedFile[bytes] = self.cleaned_data["paper"]
        if (paper.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                f"That file is larger than {MOST_BYTES // 1024**2} MB, and no certificate is. Choose the"
                " certificate's own file.",
                code="too_large",
            )
        content: bytes = paper.read()
        if b"%PDF-" not in content[:_HEAD]:
            raise forms.ValidationError(
                "That file is no PDF. Choose the certificate's own file, not a picture of it.", code="no_pdf"
            )
        return content
