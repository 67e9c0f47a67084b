"""Addresses of the hunts section."""

from django.urls import path

from hunts import urls_ground, urls_kit
from hunts.views import cards, day, holes, hunts, incidents, past, plan, sign_ups

app_name = "hunts"
urlpatterns = [
    path("", hunts.hunt_list, name="list"),
    path("plan/", plan.plan, name="plan"),
    path("past/", past.past_add, name="past_add"),
    path("<int:pk>/correct/", past.past_edit, name="past_edit"),
    path("<int:pk>/remove/", past.past_remove, name="past_remove"),
    path("drills/", cards.drills, name="drills"),
    path("incidents/", incidents.incident_list, name="incident_list"),
    path("incidents/photographs/<int:pk>/<str:size>/", incidents.incident_photo, name="incident_photo"),
    path("<int:pk>/", hunts.detail, name="detail"),
    path("<int:pk>/change/", plan.edit, name="edit"),
    path("<int:pk>/open/", plan.open_hunt, name="open"),
    path("<int:pk>/call-off/", plan.call_off, name="call_off"),
    path("<int:pk>/start/", day.start, name="start"),
    path("<int:pk>/close/", day.close, name="close"),
    path("<int:pk>/sign-up/", sign_ups.sign_up, name="sign_up"),
    path("<int:pk>/sign-up/member/", sign_ups.sign_up_person, name="sign_up_person"),
    path("<int:pk>/withdraw/", sign_ups.withdraw, name="withdraw"),
    path("<int:pk>/briefing/", day.briefing, name="briefing"),
    path("<int:pk>/emergency-card/", cards.emergency_card, name="emergency_card"),
    path("<int:pk>/roll-call/", day.roll_call, name="roll_call"),
    path("sign-ups/<int:pk>/in/", day.sign_in_person, name="sign_in_person"),
    path("sign-ups/<int:pk>/out/", day.sign_out_person, name="sign_out_person"),
    path("<int:pk>/holes/", holes.hole_list, name="hole_list"),
    path("<int:pk>/holes/log/", holes.hole_log, name="hole_log"),
    path("holes/<int:pk>/", holes.hole_detail, name="hole_detail"),
    path("holes/<int:pk>/change/", holes.hole_edit, name="hole_edit"),
    path("holes/<int:pk>/fill/", holes.hole_fill, name="hole_fill"),
    path("holes/<int:pk>/check/", holes.hole_check, name="hole_check"),
    path("holes/<int:pk>/reopen/", holes.hole_reopen, name="hole_reopen"),
    path("holes/<int:pk>/photographs/", holes.hole_photo_add, name="hole_photo_add"),
    path("holes/photographs/waiting/<int:pk>/", holes.photo_waiting, name="photo_waiting"),
    path("holes/photographs/<int:pk>/<str:size>/", holes.hole_photo, name="hole_photo"),
    path("<int:pk>/incidents/add/", incidents.incident_add, name="incident_add"),
    *urls_kit.patterns,
    *urls_ground.urlpatterns,
]
