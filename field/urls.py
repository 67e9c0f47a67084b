"""Addresses of the field page."""

from django.urls import path

from field.views import me

app_name = "field"
urlpatterns = [
    path("me/", me.me, name="me"),
]
