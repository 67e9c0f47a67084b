"""Addresses of a member's own kit, and of how it was set on a hunt."""

from django.urls import path

from hunts.views import guests, kit, lone, risks, set_ups, steward

patterns = [
    path("kit/", kit.kit_list, name="kit_list"),
    path("kit/add/", kit.kit_add, name="kit_add"),
    path("kit/<int:pk>/", kit.kit_detail, name="kit_detail"),
    path("kit/<int:pk>/change/", kit.kit_edit, name="kit_edit"),
    path("kit/<int:pk>/retire/", kit.kit_retire, name="kit_retire"),
    path("kit/<int:pk>/care/<str:occasion>/", kit.kit_care, name="kit_care"),
    path("kit/<int:pk>/bench/", kit.kit_bench, name="kit_bench"),
    path("kit/<int:pk>/readings/", kit.kit_readings, name="kit_readings"),
    path("<int:pk>/set-up/", set_ups.set_up_log, name="set_up_log"),
    path("set-ups/<int:pk>/", set_ups.set_up_edit, name="set_up_edit"),
    path("<int:pk>/ground-reading/", set_ups.ground_log, name="ground_log"),
    path("<int:pk>/guests/add/", guests.guest_add, name="guest_add"),
    path("guests/<int:pk>/drop/", guests.guest_drop, name="guest_drop"),
    path("guests/<int:pk>/in/", guests.guest_in, name="guest_in"),
    path("guests/<int:pk>/out/", guests.guest_out, name="guest_out"),
    path("alone/", lone.lone_list, name="lone_list"),
    path("alone/add/", lone.lone_add, name="lone_add"),
    path("alone/<int:pk>/", lone.lone_detail, name="lone_detail"),
    path("alone/<int:pk>/due-back/", lone.lone_change, name="lone_change"),
    path("alone/<int:pk>/back/", lone.lone_back, name="lone_back"),
    path("<int:pk>/risks/", risks.risks, name="risks"),
    path("<int:pk>/risks/<int:site>/start/", risks.risk_start, name="risk_start"),
    path("risks/<int:pk>/add/", risks.risk_add, name="risk_add"),
    path("risks/<int:pk>/agree/", risks.risk_agree, name="risk_agree"),
    path("risks/lines/<int:pk>/", risks.risk_edit, name="risk_edit"),
    path("risks/lines/<int:pk>/remove/", risks.risk_remove, name="risk_remove"),
    path("<int:pk>/walk/", steward.walk, name="walk"),
    path("holes/<int:pk>/walk/", steward.walk_mark, name="walk_mark"),
    path("rechecks/", steward.recheck_list, name="recheck_list"),
    path("holes/<int:pk>/recheck/", steward.recheck, name="recheck"),
    path("<int:pk>/scrap/", steward.scrap, name="scrap"),
]
