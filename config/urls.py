"""The addresses: one prefix per section."""

from django.urls import include, path

urlpatterns = [
    path("club/", include("people.urls")),
    path("land/", include("permissions.urls")),
    path("hunts/", include("hunts.urls")),
    path("", include("finds.urls")),
    path("", include("reports.urls")),
]
