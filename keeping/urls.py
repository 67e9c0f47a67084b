"""Addresses of keeping: its page in the club section, and two that machines ask."""

from django.urls import path

from keeping.views import backups, health, imports

app_name = "keeping"
urlpatterns = [
    path("club/backups/", backups.backups, name="backups"),
    path("club/import/", imports.imports, name="imports"),
    path("club/import/sample/<str:kind>.<str:ending>", imports.import_sample, name="import_sample"),
    path("club/import/<uuid:ref>/rows/", imports.import_rows, name="import_rows"),
    path("club/import/<uuid:ref>/columns/", imports.import_columns, name="import_columns"),
    path("club/import/<uuid:ref>/look/", imports.import_look, name="import_look"),
    path("club/import/<uuid:ref>/to-mend.csv", imports.import_problems, name="import_problems"),
    path("club/import/<uuid:ref>/save/", imports.import_save, name="import_save"),
    path("club/import/<uuid:ref>/discard/", imports.import_discard, name="import_discard"),
    path("club/import/made/<int:pk>/", imports.import_done, name="import_done"),
    path("club/import/made/<int:pk>/back/", imports.import_back, name="import_back"),
    path("health/", health.health, name="health"),
    path("health/ready/", health.ready, name="ready"),
]
