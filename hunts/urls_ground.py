"""Addresses of the ground: its plan, lanes, tracks and what was covered."""

from django.urls import path

from hunts.views import ground, tracks

urlpatterns = [
    path("<int:pk>/ground/", ground.ground_plan, name="ground_plan"),
    path("<int:pk>/lanes/", ground.lanes, name="lanes"),
    path("<int:pk>/lanes/sheets/", ground.lanes_sheets, name="lanes_sheets"),
    path("<int:pk>/lanes/map.svg", ground.lanes_map, name="lanes_map"),
    path("<int:pk>/lanes/lanes.gpx", ground.lanes_gpx, name="lanes_gpx"),
    path("<int:pk>/tracks/add/", tracks.track_add, name="track_add"),
    path("tracks/<int:pk>/remove/", tracks.track_remove, name="track_remove"),
    path("<int:pk>/covered/", tracks.coverage, name="coverage"),
    path("<int:pk>/covered/<int:site>.png", tracks.coverage_picture, name="coverage_picture"),
    path("sites/<int:pk>/covered/", tracks.site_coverage, name="site_coverage"),
    path("sites/<int:pk>/covered/picture.png", tracks.site_picture_file, name="site_coverage_picture"),
]
