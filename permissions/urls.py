"""Addresses of the land section."""

from django.urls import path

from permissions.views import consents, gate, ground, imports, landholders, permissions, sites

app_name = "permissions"
urlpatterns = [
    path("", sites.site_list, name="site_list"),
    path("gate/", gate.gate, name="gate"),
    path("sites/add/", sites.site_add, name="site_add"),
    path("import/", imports.import_sites, name="import_sites"),
    path("import/<int:pk>/system/", imports.import_system, name="import_system"),
    path("import/<int:pk>/", imports.import_preview, name="import_preview"),
    path("import/<int:pk>/discard/", imports.import_discard, name="import_discard"),
    path("sites/<int:pk>/", sites.site_detail, name="site_detail"),
    path("sites/<int:pk>/change/", sites.site_edit, name="site_edit"),
    path("sites/<int:pk>/boundary/", sites.site_boundary, name="site_boundary"),
    path("sites/<int:pk>/calendar/", gate.site_calendar, name="site_calendar"),
    path("sites/<int:pk>/no-go/add/", ground.no_go_add, name="no_go_add"),
    path("no-go/<int:pk>/delete/", ground.no_go_delete, name="no_go_delete"),
    path("sites/<int:pk>/field-state/", ground.field_state_add, name="field_state_add"),
    path("field-states/<int:pk>/delete/", ground.field_state_delete, name="field_state_delete"),
    path("sites/<int:pk>/closed-period/", ground.closed_period_add, name="closed_period_add"),
    path("closed-periods/<int:pk>/delete/", ground.closed_period_delete, name="closed_period_delete"),
    path("sites/<int:pk>/protected-check/", ground.protected_check_add, name="protected_check_add"),
    path("sites/<int:pk>/licence/", ground.licence_add, name="licence_add"),
    path("licences/<int:pk>/delete/", ground.licence_delete, name="licence_delete"),
    path("sites/<int:pk>/party/", landholders.party_add, name="party_add"),
    path("parties/<int:pk>/end/", landholders.party_end, name="party_end"),
    path("landholders/", landholders.landholder_list, name="landholder_list"),
    path("landholders/add/", landholders.landholder_add, name="landholder_add"),
    path("landholders/<int:pk>/", landholders.landholder_detail, name="landholder_detail"),
    path("landholders/<int:pk>/change/", landholders.landholder_edit, name="landholder_edit"),
    path("landholders/<int:pk>/export/", landholders.landholder_export, name="landholder_export"),
    path("landholders/<int:pk>/erase/", landholders.landholder_erase, name="landholder_erase"),
    path("landholders/<int:pk>/link/", landholders.link_make, name="link_make"),
    path("links/<int:pk>/revoke/", landholders.link_revoke, name="link_revoke"),
    path("permissions/", permissions.permission_list, name="permission_list"),
    path("permissions/add/", permissions.permission_add, name="permission_add"),
    path("permissions/<int:pk>/", permissions.permission_detail, name="permission_detail"),
    path("permissions/<int:pk>/change/", permissions.permission_edit, name="permission_edit"),
    path("permissions/<int:pk>/move/", permissions.permission_move, name="permission_move"),
    path("permissions/<int:pk>/consent/", consents.consent_add, name="consent_add"),
    path("consents/<int:pk>/change/", consents.consent_edit, name="consent_edit"),
    path("consents/<int:pk>/withdraw/", consents.consent_withdraw, name="consent_withdraw"),
    path("consents/<int:pk>/evidence/", consents.consent_evidence, name="consent_evidence"),
]
