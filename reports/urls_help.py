"""Addresses of the help. The landholders' part is open to everybody."""

from django.urls import path

from reports.views import help as pages

urlpatterns = [
    path("help/", pages.help_index, name="help"),
    path("help/handbook.pdf", pages.handbook_pdf, name="handbook_pdf"),
    path("help/landholder/", pages.help_landholder, name="help_landholder"),
    path("help/<slug:topic>/", pages.help_topic, name="help_topic"),
]
