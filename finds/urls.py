"""Addresses of the finds and heritage sections."""

from django.urls import path

from finds import urls_tables
from finds.urls_cases import urlpatterns as case_pages
from finds.urls_custody import urlpatterns as custody_pages
from finds.urls_law import urlpatterns as law_pages
from finds.urls_pairs import urlpatterns as pair_pages
from finds.views import finds, incidents, links, maps, patterns, photos, worth

app_name = "finds"
urlpatterns = [
    *case_pages,
    path("finds/", finds.find_list, name="list"),
    path("finds/map/", maps.find_map, name="map"),
    path("finds/map/data/", maps.map_data, name="map_data"),
    path("finds/map/picture/", maps.map_picture, name="map_picture"),
    path("finds/patterns/", patterns.find_patterns, name="patterns"),
    path("finds/numbers/", finds.numbers, name="numbers"),
    path("finds/hunt/<int:pk>/record/", finds.record, name="record"),
    path("finds/hunt/<int:pk>/labels/", finds.labels, name="labels"),
    path("finds/incidents/<int:pk>/", incidents.incident, name="incident"),
    path("finds/incidents/<int:pk>/done/", incidents.done, name="incident_done"),
    path("finds/incidents/<int:pk>/photographs/", incidents.photo_add, name="incident_photo_add"),
    path("finds/incidents/<int:pk>/take-over/", incidents.take_over, name="incident_take_over"),
    path("finds/incidents/<int:pk>/go-on/", incidents.lift, name="incident_lift"),
    path("finds/incidents/<int:pk>/close/", incidents.close, name="incident_close"),
    path("finds/incidents/<int:pk>/open-place/", incidents.free, name="incident_free"),
    path("finds/<int:pk>/", finds.detail, name="detail"),
    path("finds/<int:pk>/change/", finds.edit, name="edit"),
    path("finds/<int:pk>/questions/", finds.facts, name="facts"),
    path("finds/<int:pk>/worth/", worth.worth, name="worth"),
    path("finds/<int:pk>/worth/value/", worth.valuation_add, name="valuation_add"),
    path("finds/<int:pk>/worth/fate/", worth.fate_add, name="fate_add"),
    path("finds/<int:pk>/withdraw/", finds.withdraw, name="withdraw"),
    path("finds/<int:pk>/photographs/", photos.photo_add, name="photo_add"),
    path("finds/<int:pk>/associated/", links.link_add, name="link_add"),
    path("finds/<int:pk>/associated/<int:link>/remove/", links.link_remove, name="link_remove"),
    path("finds/photographs/<int:pk>/shows/", photos.photo_shows, name="photo_shows"),
    path("finds/photographs/<int:pk>/<str:size>/", photos.photo, name="photo"),
    *custody_pages,
    *law_pages,
    *pair_pages,
    *urls_tables.urlpatterns,
]
