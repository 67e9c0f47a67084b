"""Addresses of open files, the calendar, word lists and linked data."""

from django.urls import path

from doors.views import calendar, linked, open_files

urlpatterns = [
    path("club/open-files/", open_files.open_files, name="open_files"),
    path("club/open-files/columns/", open_files.file_dictionary, name="file_dictionary"),
    path("club/calendar/", calendar.calendar_page, name="calendar"),
    path("open/calendar/<str:secret>/club.ics", calendar.calendar_feed, name="calendar_feed"),
    path("open/words/", linked.vocabularies, name="vocabularies"),
    path("open/words/<slug:name>.<slug:form>", linked.vocabulary, name="vocabulary"),
    path("open/linked/finds/<int:pk>.<slug:form>", linked.find_linked, name="find_linked"),
]
