"""Addresses behind a landholder's private link."""

from django.urls import path

from reports.views import landholder, landholder_mail, landholder_says, link_door, withdrawal

LINK = "l/<str:key>/"
REPORT = f"{LINK}report/<int:pk>/"
urlpatterns = [
    path(LINK, landholder.landholder, name="landholder"),
    path(f"{LINK}code/", link_door.landholder_code, name="landholder_code"),
    path(f"{LINK}code/send/", link_door.landholder_code_send, name="landholder_code_send"),
    path(f"{LINK}papers/", landholder.landholder_papers, name="landholder_papers"),
    path(REPORT, landholder.landholder_report, name="landholder_report"),
    path(f"{REPORT}pdf/", landholder.landholder_report_pdf, name="landholder_report_pdf"),
    path(f"{REPORT}<str:photo>.jpg", landholder.landholder_photo, name="landholder_photo"),
    path(f"{REPORT}confirm/", landholder_says.landholder_confirm, name="landholder_confirm"),
    path(
        f"{LINK}find/<int:pk>/<str:size>.jpg", landholder.landholder_find_photo, name="landholder_find_photo"
    ),
    path(f"{LINK}mail/", landholder_mail.landholder_mail, name="landholder_mail"),
    path(f"{LINK}question/", landholder_says.landholder_question, name="landholder_question"),
    path(f"{LINK}concern/", landholder_says.landholder_concern, name="landholder_concern"),
    path(f"{LINK}invite/", landholder_says.landholder_invite, name="landholder_invite"),
    path(f"{LINK}withdraw/<int:pk>/", withdrawal.landholder_withdraw, name="landholder_withdraw"),
    path(f"{LINK}pause/<int:pk>/", landholder_says.landholder_pause, name="landholder_pause"),
]
