"""Two days on which everything stopped: a shell that bomb disposal took, and a rim of a pot still in the ground."""

from datetime import datetime, timedelta
from random import Random
from typing import Any

from finds.actions import answer_no_duty, free_place, move_case, propose_no_duty, record_find
from finds.models import Find
from finds.states import CaseState
from hunts import actions
from hunts.models import Hunt, Incident
from people.models import User
from reports.demo.ground import point_in
from reports.demo.land import Land, client_id


def make_stops(
    hunts: list[tuple[Hunt, Land]], committee: User, second: User, at: datetime, rng: Random
) -> None:
    """One stop that has ended, with its history; one that waits for somebody to take over."""
    _shell(*hunts[-4], committee, second, rng)
    _find(
        *hunts[-1],
        rng,
        object_type="rim of a pot, left in the ground",
        materials={"pottery": None},
        description="Seen at the edge of the hole, upright. Photographed, covered and left.",
        facts={"container": "yes", "observed_only": "yes", "human_remains": "no", "ordnance": "no"},
    )


def _find(hunt: Hunt, land: Land, rng: Random, **fields: Any) -> Find:
    finder = hunt.sign_ups.standing().order_by("pk")[2].user
    site = hunt.sites.order_by("pk")[0]
    lon, lat = point_in(land.fields[site.pk].shape, rng)
    when = hunt.begins + timedelta(hours=4)
    return record_find(
        hunt.pk,
        by=finder,
        at=when + timedelta(minutes=3),
        client_id=client_id(rng),
        finder=finder,
        site=site,
        found_at=when,
        lon=lon,
        lat=lat,
        accuracy_m=4.0,
        position_method="averaged",
        placing="inside",
        **fields,
    )


def _shell(hunt: Hunt, land: Land, committee: User, second: User, rng: Random) -> None:
    """Found, cleared the same afternoon, closed by the leader; the committee ended case and lock."""
    find = _find(
        hunt,
        land,
        rng,
        object_type="iron body, pointed, a band round it",
        materials={"iron": None},
        facts={"ordnance": "yes", "human_remains": "no", "container": "no"},
    )
    incident: Incident = find.drills.get().incident
    when = incident.happened_at + timedelta(minutes=5)
    actions.do_drill(incident.pk, by=find.finder, at=when)
    actions.take_over(incident.pk, by=hunt.leader, at=when + timedelta(minutes=6))
    outcome = (
        "Police at two o'clock, bomb disposal at four. They took it away and said that the field is clear."
    )
    actions.close_incident(incident.pk, by=hunt.leader, at=when + timedelta(hours=4), outcome=outcome)
    later = when + timedelta(days=3)
    for case in find.cases.all():
        move_case(case.pk, CaseState.REVIEW, by=committee, at=later, words="The police have it.")
        words = "Destroyed by bomb disposal."
        first = propose_no_duty(case.pk, by=committee, at=later, words=words, client_id=client_id(rng))
        answer_no_duty(
            case.pk, by=second, at=later + timedelta(hours=2), proposal=first.pk, agrees=True, words="Read their note.",
            client_id=client_id(rng),
        )  # fmt: skip
    free_place(incident.pk, by=committee, at=later, why="Nothing is left there.")
