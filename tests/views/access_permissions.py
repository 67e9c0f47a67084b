"""Who gets what in the land section. A right not held is 403; a row not visible is 404."""

from datetime import timedelta

from django.utils.timezone import localdate, now

from permissions.models import ClosedPeriod, LandholderLink, Licence, NoGoArea
from tests import make
from tests.views.access import Row, who
from tests.views.world import World

PLANNERS = who("leader secretary committee", 200)
EVERYONE = who("member leader secretary committee", 200)
KEEPER = who("secretary", 200)
DONE = who("secretary", 302)


def site(world: World) -> dict[str, int]:
    return {"pk": world.site.pk}


def unseen_site(world: World) -> dict[str, int]:
    """A site without an open hunt: members do not see it."""
    return {"pk": make.site(by=world.secretary).pk}


def permission(world: World) -> dict[str, int]:
    return {"pk": world.permission.pk}


def landholder(world: World) -> dict[str, int]:
    return {"pk": world.landholder.pk}


def consent(world: World) -> dict[str, int]:
    return {"pk": world.consent.pk}


def party(world: World) -> dict[str, int]:
    return {"pk": world.site.parties.all()[0].pk}


def link(world: World) -> dict[str, int]:
    made = LandholderLink.objects.create(
        landholder=world.landholder, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(1)
    )
    return {"pk": made.pk}


def no_go(world: World) -> dict[str, int]:
    return {
        "pk": NoGoArea.objects.create(site=world.site, reason="well", geometry=make.SQUARE, buffer_m=1).pk
    }


def period(world: World) -> dict[str, int]:
    today = localdate()
    return {"pk": ClosedPeriod.objects.create(site=world.site, reason="shoot", starts=today, ends=today).pk}


def field_state(world: World) -> dict[str, int]:
    return {"pk": world.site.field_states.all()[0].pk}


def licence(world: World) -> dict[str, int]:
    today = localdate()
    made = Licence.objects.create(code="section-42", number="9", authority="body", starts=today, ends=today)
    made.sites.add(world.site)
    return {"pk": made.pk}


def on(world: World) -> dict[str, str]:
    return {"on": localdate().isoformat()}


ROWS = [
    Row("permissions:site_list", EVERYONE | who("stranger", 200)),
    Row("permissions:gate", PLANNERS, otherwise=403),
    Row("permissions:site_detail", EVERYONE, kwargs=site),
    Row("permissions:site_detail", PLANNERS, kwargs=unseen_site),
    Row("permissions:site_calendar", PLANNERS | who("member", 403), kwargs=site),
    Row("permissions:site_add", KEEPER, otherwise=403),
    Row("permissions:site_edit", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:site_boundary", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:no_go_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:no_go_delete", DONE, kwargs=no_go, method="post", otherwise=403),
    Row("permissions:field_state_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:field_state_delete", DONE, kwargs=field_state, method="post", otherwise=403),
    Row("permissions:closed_period_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:closed_period_delete", DONE, kwargs=period, method="post", otherwise=403),
    Row("permissions:protected_check_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:licence_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:licence_delete", DONE, kwargs=licence, method="post", otherwise=403),
    Row("permissions:party_add", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:party_end", DONE, kwargs=party, method="post", data=on, otherwise=403),
    Row("permissions:landholder_list", KEEPER, otherwise=403),
    Row("permissions:landholder_add", KEEPER, otherwise=403),
    Row("permissions:landholder_detail", KEEPER, kwargs=landholder, otherwise=403),
    Row("permissions:landholder_edit", KEEPER, kwargs=landholder, otherwise=403),
    Row("permissions:landholder_export", KEEPER, kwargs=landholder, otherwise=403),
    Row("permissions:landholder_erase", DONE, kwargs=landholder, method="post", otherwise=403),
    Row(
        "permissions:link_make",
        DONE,
        kwargs=landholder,
        method="post",
        data=lambda w: {"days": 9},
        otherwise=403,
    ),
    Row("permissions:link_revoke", DONE, kwargs=link, method="post", otherwise=403),
    Row("permissions:permission_list", PLANNERS, otherwise=403),
    Row("permissions:permission_add", KEEPER, otherwise=403),
    Row("permissions:permission_detail", PLANNERS, kwargs=permission),
    Row("permissions:permission_edit", KEEPER, kwargs=permission, otherwise=403),
    Row(
        "permissions:permission_move",
        DONE | who("leader committee", 403),
        kwargs=permission,
        method="post",
        data=lambda w: {"to": "paused", "why": "lambing"},
    ),
    Row("permissions:consent_add", KEEPER, kwargs=permission, otherwise=403),
    Row("permissions:consent_edit", KEEPER | who("leader committee", 403), kwargs=consent),
    Row(
        "permissions:consent_withdraw",
        DONE | who("leader committee", 403),
        kwargs=consent,
        method="post",
        data=on,
    ),
    Row("permissions:consent_evidence", who("leader committee", 403), kwargs=consent),
]
