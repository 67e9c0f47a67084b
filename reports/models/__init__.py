"""What was issued and frozen, what landholders answered and signed, and which reminders went out."""

from reports.models.agreement import AgreementIssue, Signature, SignatureRequest
from reports.models.answers import Concern, LandholderAnswer
from reports.models.issued import IssuedReport, Kind
from reports.models.paper import Paper, PaperKind, PaperSignature, PaperSigner
from reports.models.reminder import Reminder

__all__ = [
    "AgreementIssue",
    "Concern",
    "IssuedReport",
    "Kind",
    "LandholderAnswer",
    "Paper",
    "PaperKind",
    "PaperSignature",
    "PaperSigner",
    "Reminder",
    "Signature",
    "SignatureRequest",
]
