"""Addresses of the doors: keys in the club section, and the open interface."""

from django.urls import path, re_path

from doors import urls_files
from doors.views import keys, open  # noqa: A004 - the section's name

app_name = "doors"
urlpatterns = [
    path("club/doors/", keys.key_list, name="key_list"),
    path("club/doors/new/", keys.key_new, name="key_new"),
    path("club/doors/<int:pk>/end/", keys.key_end, name="key_end"),
    # Programs put paths behind the address that they are given, with a slash at its end or without.
    re_path(r"^open/?$", open.landing, name="landing"),
    path("open/conformance", open.conformance, name="conformance"),
    path("open/api", open.api, name="api"),
    path("open/collections", open.collections, name="collections"),
    path("open/collections/<str:name>", open.collection, name="collection"),
    path("open/collections/<str:name>/items", open.items, name="items"),
    path("open/collections/<str:name>/items/<str:number>", open.item, name="item"),
    *urls_files.urlpatterns,
]
