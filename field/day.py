"""Which hunts a phone takes along: today's and those that run, where the reader has a place or leads."""

from datetime import datetime
from typing import Any

from django.db.models import Q
from django.utils.timezone import localdate

from hunts.models import Hunt
from hunts.models.hunt import HuntQuerySet
from hunts.states import HuntState, SignUpState
from people.models import User

SHOWN = [HuntState.OPEN, HuntState.RUNNING, HuntState.CLOSED]


def hunts_for(user: User, *, at: datetime) -> HuntQuerySet:
    """The hunts of the day that `user` goes to."""
    place = Q(sign_ups__user=user, sign_ups__state=SignUpState.IN) | Q(leader=user)
    day = Q(on=localdate(at), state__in=SHOWN) | Q(state=HuntState.RUNNING)
    return Hunt.objects.visible_to(user).filter(place, day).distinct().order_by("on", "pk")


def line_of(hunt: Hunt) -> dict[str, Any]:
    """A hunt in the list; its sites should be prefetched."""
    return {
        "pk": hunt.pk,
        "code": hunt.code,
        "title": hunt.title,
        "on": hunt.on.isoformat(),
        "starts": hunt.begins.isoformat(),
        "finishes": hunt.finishes.isoformat(),
        "state": hunt.state,
        "sites": [site.code for site in hunt.sites.all()],
    }
