"""The nouns of inspections, one file each."""

from inspections.models.defect import CarriedDefect, Defect, DefectGrading, Severity, Waiver
from inspections.models.late_look import LateLook
from inspections.models.notice import DoNotUseNotice
from inspections.models.photo import Photo
from inspections.models.photo_part import PhotoPart
from inspections.models.record import Answer, AnswerKind, AnswerOutcome, SiteRecord, StageRecord
from inspections.models.signature import Signature
from inspections.models.signoff import Certificate, CertificateWithdrawal, SignOff
from inspections.models.stage_return import StageReturn
from inspections.models.tablet_entry import EntryKind, EntryOutcome, TabletEntry

__all__ = [
    "Answer",
    "AnswerKind",
    "AnswerOutcome",
    "CarriedDefect",
    "Certificate",
    "CertificateWithdrawal",
    "Defect",
    "DefectGrading",
    "DoNotUseNotice",
    "EntryKind",
    "EntryOutcome",
    "LateLook",
    "Photo",
    "PhotoPart",
    "Severity",
    "SignOff",
    "Signature",
    "SiteRecord",
    "StageRecord",
    "StageReturn",
    "TabletEntry",
    "Waiver",
]
