"""Addresses of the doors: keys in the club section, and the open interface."""

from django.urls import URLPattern, URLResolver

app_name = "doors"
urlpatterns: list[URLPattern | URLResolver] = []
