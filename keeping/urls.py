"""Addresses of keeping: its page in the club section, and two that machines ask."""

from django.urls import path

from keeping.views import backups, health

app_name = "keeping"
urlpatterns = [
    path("club/backups/", backups.backups, name="backups"),
    path("health/", health.health, name="health"),
    path("health/ready/", health.ready, name="ready"),
]
