"""What was issued and frozen, what landholders answered and signed, and which reminders went out."""

from reports.models.agreement import AgreementIssue, Signature, SignatureRequest
from reports.models.answers import Concern, LandholderAnswer
from reports.models.issued import IssuedReport, Kind
from reports.models.officer_visit import OfficerVisit, OfficerVisitItem
from reports.models.paper import Paper, PaperKind, PaperSignature, PaperSigner
from reports.models.reminder import Reminder
from reports.models.returning import ReturnsHandOver
from reports.models.sent import Acknowledgement, ReportPackage, ReportSending
from reports.models.set_up import NotNeeded
from reports.models.visit import Thanks, VisitDraft

__all__ = [
    "Acknowledgement",
    "AgreementIssue",
    "Concern",
    "IssuedReport",
    "Kind",
    "LandholderAnswer",
    "NotNeeded",
    "OfficerVisit",
    "OfficerVisitItem",
    "Paper",
    "PaperKind",
    "PaperSignature",
    "PaperSigner",
    "Reminder",
    "ReportPackage",
    "ReportSending",
    "ReturnsHandOver",
    "Signature",
    "SignatureRequest",
    "Thanks",
    "VisitDraft",
]
