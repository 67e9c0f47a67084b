"""Every write of the reports app: issuing, landholders' answers, and the club's answers to them."""

from reports.actions.agreements import AgreementError, revoke_request, send_agreement
from reports.actions.answers import concern_settled, landholder_answers, landholder_pauses
from reports.actions.issue import IssuedMeanwhileError, issue_report, report_seen
from reports.actions.reminders import claim_reminder, settle_reminder
from reports.actions.signing import OutdatedError, decline_agreement, request_opened, sign_agreement
from reports.actions.withdrawal import landholder_withdraws

__all__ = [
    "AgreementError",
    "IssuedMeanwhileError",
    "OutdatedError",
    "claim_reminder",
    "concern_settled",
    "decline_agreement",
    "issue_report",
    "landholder_answers",
    "landholder_pauses",
    "landholder_withdraws",
    "report_seen",
    "request_opened",
    "revoke_request",
    "send_agreement",
    "settle_reminder",
    "sign_agreement",
]
