"""Addresses of Today, the reports and the landholder's page."""

from django.urls import path

from reports.urls_help import urlpatterns as help_pages
from reports.urls_heritage import urlpatterns as heritage_pages
from reports.urls_landholder import urlpatterns as landholder_pages
from reports.urls_set_up import urlpatterns as set_up_pages
from reports.urls_settle import urlpatterns as settle_pages
from reports.views import (
    agreements,
    answers,
    issue,
    receipts,
    returning,
    sign,
    visit,
    year,
)

app_name = "reports"
SIGN = "s/<str:key>/"
urlpatterns = [
    path("reports/", issue.issued_list, name="issued_list"),
    path("reports/<int:pk>/", issue.issued, name="issued"),
    path("reports/<int:pk>/pdf/", issue.issued_pdf, name="issued_pdf"),
    path("reports/visit/<int:pk>/", issue.preview, {"kind": "visit"}, name="visit"),
    path("reports/holes/<int:pk>/", issue.preview, {"kind": "holes"}, name="holes"),
    path("reports/returns/<int:pk>/", issue.preview, {"kind": "returns"}, name="returns"),
    *heritage_pages,
    path("reports/visit/<int:pk>/words/", visit.visit_draft, name="visit_draft"),
    path("reports/year/", year.year_now, name="year_now"),
    path("reports/year/<int:year>/", year.year, name="year"),
    path("reports/year/<int:year>/issue/", year.issue_year, name="issue_year"),
    path("reports/year/<int:year>/thanks/", year.thanks, name="thanks"),
    path("reports/year/<int:year>/thanks/<int:pk>/", year.thank, name="thank"),
    path("reports/<str:kind>/<int:pk>/issue-to-all/", visit.issue_all, name="issue_all"),
    path("reports/<str:kind>/<int:pk>/issue/", issue.issue, name="issue"),
    path("permissions/<int:pk>/agreement/", agreements.agreement, name="agreement"),
    path("permissions/<int:pk>/agreement/send/", agreements.agreement_send, name="agreement_send"),
    path("agreements/<int:pk>/", agreements.agreement_issued, name="agreement_issued"),
    path("agreements/<int:pk>/pdf/", agreements.agreement_pdf, name="agreement_pdf"),
    path("signature-requests/<int:pk>/take-back/", agreements.request_revoke, name="request_revoke"),
    path(SIGN, sign.sign, name="sign"),
    path(f"{SIGN}pdf/", sign.sign_pdf, name="sign_pdf"),
    path(f"{SIGN}agree/", sign.sign_agree, name="sign_agree"),
    path(f"{SIGN}decline/", sign.sign_decline, name="sign_decline"),
    path("reports/returns/landholder/<int:pk>/", returning.returning, name="returning"),
    path("finds/custody/<int:pk>/receipt.pdf", receipts.receipt, name="receipt"),
    path("c/<str:code>/receipt.pdf", receipts.receipt_by_key, name="receipt_by_key"),
    path("answers/", answers.answers, name="answers"),
    path("answers/<int:pk>/settle/", answers.concern_settle, name="concern_settle"),
    *help_pages,
    *landholder_pages,
    *settle_pages,
    *set_up_pages,
]
