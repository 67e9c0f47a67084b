"""Addresses of the law's pages: packs, what changes with them, and screenings followed to their clause."""

from django.urls import path

from finds.views import packs, screenings

urlpatterns = [
    path("finds/screenings/<int:pk>/", screenings.screening_detail, name="screening_detail"),
    path("finds/<int:pk>/screenings/", screenings.screening_list, name="screening_list"),
    path("heritage/packs/", packs.pack_list, name="pack_list"),
    path("heritage/packs/change/", packs.pack_change, name="pack_change"),
    path("heritage/packs/runs/<int:pk>/", packs.pack_run, name="pack_run"),
    path("heritage/packs/<slug:code>/", packs.pack_detail, name="pack_detail"),
]
