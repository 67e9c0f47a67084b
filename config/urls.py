"""The addresses: one prefix per section."""

from django.urls import include, path

from reports.views.today import today

urlpatterns = [
    path("", today, name="today"),
    path("club/", include("people.urls")),
    path("land/", include("permissions.urls")),
    path("hunts/", include("hunts.urls")),
    path("field/", include("field.urls")),
    path("", include("finds.urls")),
    path("", include("reports.urls")),
]
