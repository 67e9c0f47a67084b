"""Addresses of the field page."""

from django.urls import path

from field.views import me, shell

app_name = "field"
urlpatterns = [
    path("", shell.page, name="shell"),
    path("sw.js", shell.worker, name="worker"),
    path("manifest.webmanifest", shell.manifest, name="manifest"),
    path("me/", me.me, name="me"),
]
