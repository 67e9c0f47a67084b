"""Every write of the hunts app."""

from hunts.actions.close import call_off_hunt, close_hunt
from hunts.actions.day import hear_briefing, sign_in, sign_myself_out, sign_out, start_hunt
from hunts.actions.ground import set_ground_plan
from hunts.actions.guests import bring_guest, sign_in_guest, sign_out_guest, withdraw_guest
from hunts.actions.hole_care import check_hole, fill_hole, lock_hole, reopen_hole, see_hole, unlock_hole
from hunts.actions.holes import change_hole, log_hole
from hunts.actions.incident_course import (
    close_incident,
    do_drill,
    free_incident,
    lift_stop,
    renew_incident,
    see_incident,
    take_back,
    take_over,
)
from hunts.actions.incident_photos import PreparedIncidentPhoto, add_incident_photos
from hunts.actions.incidents import add_incident, open_incident
from hunts.actions.kit import (
    add_kit,
    change_kit,
    change_set_up,
    log_bench,
    log_ground,
    log_set_up,
    retire_kit,
    tick_care,
)
from hunts.actions.late import alarm_about_hunt, alarm_about_lone_hunt
from hunts.actions.lone import change_due_back, come_back, go_out_alone
from hunts.actions.past import add_to_past_outing, enter_past_outing, remove_past_outing
from hunts.actions.past_change import correct_past_outing
from hunts.actions.photos import PreparedHolePhoto, add_hole_photos
from hunts.actions.plan import change_hunt, open_hunt, plan_hunt
from hunts.actions.risks import add_risk, agree_assessment, change_risk, remove_risk, start_assessment
from hunts.actions.sign_up import sign_up, withdraw
from hunts.actions.steward import recheck_hole, weigh_scrap
from hunts.actions.tracks import add_track, redraw_track, remove_track

__all__ = [
    "PreparedHolePhoto",
    "PreparedIncidentPhoto",
    "add_hole_photos",
    "add_incident",
    "add_incident_photos",
    "add_kit",
    "add_risk",
    "add_to_past_outing",
    "add_track",
    "agree_assessment",
    "alarm_about_hunt",
    "alarm_about_lone_hunt",
    "bring_guest",
    "call_off_hunt",
    "change_due_back",
    "change_hole",
    "change_hunt",
    "change_kit",
    "change_risk",
    "change_set_up",
    "check_hole",
    "close_hunt",
    "close_incident",
    "come_back",
    "correct_past_outing",
    "do_drill",
    "enter_past_outing",
    "fill_hole",
    "free_incident",
    "go_out_alone",
    "hear_briefing",
    "lift_stop",
    "lock_hole",
    "log_bench",
    "log_ground",
    "log_hole",
    "log_set_up",
    "open_hunt",
    "open_incident",
    "plan_hunt",
    "recheck_hole",
    "redraw_track",
    "remove_past_outing",
    "remove_risk",
    "remove_track",
    "renew_incident",
    "reopen_hole",
    "retire_kit",
    "see_hole",
    "see_incident",
    "set_ground_plan",
    "sign_in",
    "sign_in_guest",
    "sign_myself_out",
    "sign_out",
    "sign_out_guest",
    "sign_up",
    "start_assessment",
    "start_hunt",
    "take_back",
    "take_over",
    "tick_care",
    "unlock_hole",
    "weigh_scrap",
    "withdraw",
    "withdraw_guest",
]
