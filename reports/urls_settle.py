"""Addresses of settlement sheets, the papers that people sign, and titles to finds."""

from django.urls import path

from reports.views import papers, sheets, titles

BY_PAPER = "p/<str:code>/"
urlpatterns = [
    path("settlements/", sheets.sheet_list, name="sheets"),
    path("settlements/new/", sheets.sheet_new, name="sheet_new"),
    path("settlements/<int:pk>/", sheets.sheet, name="sheet"),
    path("settlements/<int:pk>/change/", sheets.sheet_change, name="sheet_change"),
    path("settlements/<int:pk>/finds/<int:find>/off/", sheets.sheet_take_off, name="sheet_take_off"),
    path("settlements/<int:pk>/send/", sheets.sheet_send, name="sheet_send"),
    path("settlements/<int:pk>/replace/", sheets.sheet_replace, name="sheet_replace"),
    path("settlements/<int:pk>/paid/", sheets.sheet_pay, name="sheet_pay"),
    path("papers/<int:pk>/", papers.paper, name="paper"),
    path("papers/<int:pk>/pdf/", papers.paper_pdf, name="paper_pdf"),
    path("papers/<int:pk>/sign/", papers.paper_sign, name="paper_sign"),
    path("papers/<int:pk>/dispute/", papers.paper_dispute, name="paper_dispute"),
    path("finds/<int:pk>/title/", titles.titles, name="titles"),
    path("finds/<int:pk>/title/make/", titles.title_make, name="title_make"),
    path("paper-signers/<int:pk>/take-back/", titles.signer_revoke, name="signer_revoke"),
    path("paper-signers/<int:pk>/renew/", titles.signer_renew, name="signer_renew"),
    path("paper-signers/<int:pk>/by-hand/", titles.signer_by_hand, name="signer_by_hand"),
    path(BY_PAPER, papers.by_paper, name="by_paper"),
    path(f"{BY_PAPER}pdf/", papers.by_paper_pdf, name="by_paper_pdf"),
    path(f"{BY_PAPER}sign/", papers.by_paper_sign, name="by_paper_sign"),
    path(f"{BY_PAPER}dispute/", papers.by_paper_dispute, name="by_paper_dispute"),
    path(f"{BY_PAPER}photo/<str:photo>.jpg", papers.by_paper_photo, name="by_paper_photo"),
]
