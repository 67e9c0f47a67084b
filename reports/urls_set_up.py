"""Addresses of the list of what a club still has to set up."""

from django.urls import path

from reports.views import set_up

urlpatterns = [
    path("set-up/steps/", set_up.set_up, name="set_up"),
    path("set-up/steps/<slug:step>/not-needed/", set_up.not_needed, name="not_needed"),
    path("set-up/steps/<slug:step>/needed/", set_up.needed, name="needed"),
]
