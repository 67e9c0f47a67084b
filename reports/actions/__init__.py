"""Every write of the reports app: issuing, landholders' answers, and the club's answers to them."""

from reports.actions.agreements import AgreementError, revoke_request, send_agreement
from reports.actions.answers import concern_settled, landholder_answers, landholder_pauses
from reports.actions.issue import IssuedMeanwhileError, issue_report, report_seen
from reports.actions.paper_signing import dispute_paper, paper_opened, sign_paper, signed_on_paper
from reports.actions.papers import renew_signer, revoke_signer, send_sheet, send_title
from reports.actions.reminders import send_reminder
from reports.actions.signing import OutdatedError, decline_agreement, request_opened, sign_agreement
from reports.actions.withdrawal import landholder_withdraws

__all__ = [
    "AgreementError",
    "IssuedMeanwhileError",
    "OutdatedError",
    "concern_settled",
    "decline_agreement",
    "dispute_paper",
    "issue_report",
    "landholder_answers",
    "landholder_pauses",
    "landholder_withdraws",
    "paper_opened",
    "renew_signer",
    "report_seen",
    "request_opened",
    "revoke_request",
    "revoke_signer",
    "send_agreement",
    "send_reminder",
    "send_sheet",
    "send_title",
    "sign_agreement",
    "sign_paper",
    "signed_on_paper",
]
