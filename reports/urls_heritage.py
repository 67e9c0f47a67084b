"""Addresses of heritage reports, their packages, sendings and answers, and of visits to the officer."""

from django.urls import path

from reports.views import heritage, officer_visits

CASE = "reports/heritage/<int:pk>/"
VISIT = "officer-visits/<int:pk>/"
urlpatterns = [
    path(CASE, heritage.heritage, name="heritage"),
    path(f"{CASE}issue/", heritage.issue_heritage, name="issue_heritage"),
    path(f"{CASE}differences/", heritage.differences, name="heritage_differences"),
    path("reports/<int:pk>/package/", heritage.package, name="issued_package"),
    path("reports/<int:pk>/send/", heritage.report_send, name="report_send"),
    path("sendings/<int:pk>/acknowledge/", heritage.sending_acknowledge, name="sending_acknowledge"),
    path("officer-visits/", officer_visits.officer_visits, name="officer_visits"),
    path("officer-visits/new/", officer_visits.officer_visit_plan, name="officer_visit_plan"),
    path(VISIT, officer_visits.officer_visit, name="officer_visit"),
    path(f"{VISIT}papers.pdf", officer_visits.officer_visit_papers, name="officer_visit_papers"),
    path(f"{VISIT}went/", officer_visits.officer_visit_went, name="officer_visit_went"),
    path(f"{VISIT}call-off/", officer_visits.officer_visit_off, name="officer_visit_off"),
]
