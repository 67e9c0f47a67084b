"""Every write of the reports app: issuing, landholders' answers, and the club's answers to them."""

from reports.actions.agreements import AgreementError, revoke_request, send_agreement
from reports.actions.answers import concern_settled, landholder_answers, landholder_pauses, landholder_writes
from reports.actions.issue import IssuedMeanwhileError, issue_report, report_seen
from reports.actions.officer_visits import (
    OfficerVisitError,
    call_off_officer_visit,
    plan_officer_visit,
    record_officer_visit,
)
from reports.actions.paper_signing import dispute_paper, paper_opened, sign_paper, signed_on_paper
from reports.actions.papers import renew_signer, revoke_signer, send_sheet, send_title
from reports.actions.reminders import send_reminder
from reports.actions.returning import issue_returns
from reports.actions.sent import SendingError, report_acknowledged, report_sent
from reports.actions.set_up import put_step_aside, take_step_up
from reports.actions.signing import OutdatedError, decline_agreement, request_opened, sign_agreement
from reports.actions.visit import save_visit_draft, thank_landholder
from reports.actions.withdrawal import landholder_withdraws

__all__ = [
    "AgreementError",
    "IssuedMeanwhileError",
    "OfficerVisitError",
    "OutdatedError",
    "SendingError",
    "call_off_officer_visit",
    "concern_settled",
    "decline_agreement",
    "dispute_paper",
    "issue_report",
    "issue_returns",
    "landholder_answers",
    "landholder_pauses",
    "landholder_withdraws",
    "landholder_writes",
    "paper_opened",
    "plan_officer_visit",
    "put_step_aside",
    "record_officer_visit",
    "renew_signer",
    "report_acknowledged",
    "report_seen",
    "report_sent",
    "request_opened",
    "revoke_request",
    "revoke_signer",
    "save_visit_draft",
    "send_agreement",
    "send_reminder",
    "send_sheet",
    "send_title",
    "sign_agreement",
    "sign_paper",
    "signed_on_paper",
    "take_step_up",
    "thank_landholder",
]
