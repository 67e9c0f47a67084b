"""The addresses: one prefix per section."""

from django.urls import include, path

from reports.views.today import today

handler400 = "web.errors.bad_request"
handler429 = "people.views.limits.too_many"  # django-allauth looks for it here
urlpatterns = [
    path("", today, name="today"),
    path("club/", include("people.urls")),
    path("club/", include("people.urls_library")),
    path("set-up/", include("people.urls_set_up")),
    path("land/", include("permissions.urls")),
    path("hunts/", include("hunts.urls")),
    path("field/", include("field.urls")),
    path("", include("finds.urls")),
    path("", include("reports.urls")),
    path("", include("doors.urls")),
    path("", include("keeping.urls")),
]
