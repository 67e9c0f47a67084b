"""Every write of the reports app: issuing, landholders' answers, and the club's answers to them."""

from reports.actions.answers import concern_settled, landholder_answers, landholder_pauses
from reports.actions.issue import IssuedMeanwhileError, issue_report, report_seen

__all__ = [
    "IssuedMeanwhileError",
    "concern_settled",
    "issue_report",
    "landholder_answers",
    "landholder_pauses",
    "report_seen",
]
