"""Addresses of the field page."""

from django.urls import path

from field.views import file, hunts, me, parked, photos, records, shell

app_name = "field"
urlpatterns = [
    path("", shell.page, name="shell"),
    path("sw.js", shell.worker, name="worker"),
    path("manifest.webmanifest", shell.manifest, name="manifest"),
    path("me/", me.me, name="me"),
    path("hunts/", hunts.hunts, name="hunts"),
    path("hunts/<int:pk>/", hunts.pack, name="pack"),
    path("records/", records.records, name="records"),
    path("photos/", photos.begin, name="photo_begin"),
    path("photos/<uuid:client_id>/", photos.photo, name="photo"),
    path("photos/<int:pk>/again/", parked.photo_again, name="photo_again"),
    path("photos/<int:pk>/leave/", parked.leave_photo, name="photo_leave"),
    path("parked/", parked.parked, name="parked"),
    path("parked/<int:pk>/again/", parked.again, name="parked_again"),
    path("parked/<int:pk>/correct/", parked.correct, name="parked_correct"),
    path("parked/<int:pk>/leave/", parked.leave, name="parked_leave"),
    path("parked/<int:pk>/let-in/", parked.let_in, name="parked_let_in"),
    path("file/", file.file, name="file"),
]
