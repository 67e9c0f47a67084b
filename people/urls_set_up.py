"""Addresses of a club that begins."""

from django.urls import path

from people.views import set_up

urlpatterns = [
    path("", set_up.door, name="set_up_door"),
    path("begin/<str:code>/", set_up.begin, name="set_up_begin"),
    path("club/", set_up.set_up_club, name="set_up_club"),
    path("contacts/", set_up.set_up_contacts, name="set_up_contacts"),
    path("people/", set_up.set_up_people, name="set_up_people"),
    path("test-letter/", set_up.test_letter, name="test_letter"),
]
