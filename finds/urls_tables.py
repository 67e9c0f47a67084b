"""Addresses of finds by the dozen: quick entry, tables in and out."""

from django.urls import path

from finds.views import exports, imports, quick

urlpatterns = [
    path("finds/hunt/<int:pk>/quick/", quick.quick, name="quick"),
    path("finds/export.csv", exports.export_csv, name="export_csv"),
    path("finds/import/", imports.import_start, name="import_start"),
    path("finds/import/columns/", imports.import_columns, name="import_columns"),
    path("finds/import/template.csv", imports.import_template_csv, name="import_template_csv"),
    path("finds/import/<int:pk>/", imports.import_look, name="import_look"),
    path("finds/import/<int:pk>/read/", imports.import_read, name="import_read"),
    path("finds/import/<int:pk>/save/", imports.import_save, name="import_save"),
    path("finds/import/<int:pk>/discard/", imports.import_discard, name="import_discard"),
]
