"""The nouns of jobs, one file each."""

from jobs.models.appliance import Appliance, ApplianceKind, Fuel
from jobs.models.chimney import Chimney, ChimneySection
from jobs.models.crew import Credential, Crew, Technician
from jobs.models.customer import Customer
from jobs.models.customer_export import CustomerExport, ExportState
from jobs.models.document import NUMBERED, Document, DocumentKind, DocumentState
from jobs.models.document_access import AccessKind, AccessWay, DocumentAccess
from jobs.models.evidence import Erasure, EvidenceEvent, EvidencePrivate
from jobs.models.file_removal import FileRemoval
from jobs.models.heartbeat import Heartbeat
from jobs.models.installation import Installation, Route
from jobs.models.job import OPEN_STATUSES, REPORTED, TRANSITIONS, Job, JobKind, JobStatus, JobStatusChange
from jobs.models.mail import MailState, OutgoingMail
from jobs.models.permit import Permit, PermitOutcome
from jobs.models.plan import Plan
from jobs.models.seal import SealCertificate
from jobs.models.service import (
    BookingRequest,
    Reminder,
    ReminderOutcome,
    ReminderStep,
    ServiceKind,
    ServiceSchedule,
)
from jobs.models.shop import Shop, UnitSystem
from jobs.models.site import Country, Site
from jobs.models.survey import (
    ConnectorKind,
    Exposure,
    MemberDirection,
    MemberKind,
    Placement,
    RoofCovering,
    RoofShape,
    Survey,
)
from jobs.models.user import Role, User
from jobs.models.visit import Visit

__all__ = [
    "NUMBERED",
    "OPEN_STATUSES",
    "REPORTED",
    "TRANSITIONS",
    "AccessKind",
    "AccessWay",
    "Appliance",
    "ApplianceKind",
    "BookingRequest",
    "Chimney",
    "ChimneySection",
    "ConnectorKind",
    "Country",
    "Credential",
    "Crew",
    "Customer",
    "CustomerExport",
    "Document",
    "DocumentAccess",
    "DocumentKind",
    "DocumentState",
    "Erasure",
    "EvidenceEvent",
    "EvidencePrivate",
    "ExportState",
    "Exposure",
    "FileRemoval",
    "Fuel",
    "Heartbeat",
    "Installation",
    "Job",
    "JobKind",
    "JobStatus",
    "JobStatusChange",
    "MailState",
    "MemberDirection",
    "MemberKind",
    "OutgoingMail",
    "Permit",
    "PermitOutcome",
    "Placement",
    "Plan",
    "Reminder",
    "ReminderOutcome",
    "ReminderStep",
    "Role",
    "RoofCovering",
    "RoofShape",
    "Route",
    "SealCertificate",
    "ServiceKind",
    "ServiceSchedule",
    "Shop",
    "Site",
    "Survey",
    "Technician",
    "UnitSystem",
    "User",
    "Visit",
]
