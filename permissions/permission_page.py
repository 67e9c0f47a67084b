"""What the pages of permissions show: where each stands, its consents in words, its terms as sentences."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Prefetch
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people.models import Club, User
from people.rights import Right
from permissions.agreed import clauses_of
from permissions.facts_of import NAMELESS, consent_facts
from permissions.forms.permission import MOVE_WORDS
from permissions.gate import consent_in_force
from permissions.models import Consent, Permission, Site
from permissions.states import MOVES, State
from tongue import noop

_STANDING = {
    State.DRAFT: ("plain", noop("Draft")),
    State.ASKED: ("ask", noop("Asked for")),
    State.PAUSED: ("shut", noop("Paused")),
    State.ENDED: ("plain", noop("Ended")),
    State.REFUSED: ("shut", noop("Refused")),
}


@dataclass(frozen=True)
class PermissionRow:
    """A permission with where it stands today as status and word."""

    permission: Permission
    status: str
    word: str
    fields: str = ""


@dataclass(frozen=True)
class ConsentRow:
    """A consent with who gave it, as far as the reader may know, and where it stands today."""

    consent: Consent
    who: str
    sites: str
    status: str
    word: str


def permission_rows(permissions: Iterable[Permission], *, on: date) -> list[PermissionRow]:
    """Where each permission stands on `on`, for permissions read `with_site_names`; one query for all of them."""
    rows = list(permissions)
    in_force = set(
        Permission.objects.in_force(on).filter(pk__in=[p.pk for p in rows]).values_list("pk", flat=True)
    )
    return [
        PermissionRow(p, *standing(p, in_force=p.pk in in_force, on=on), ", ".join(map(str, p.sites.all())))
        for p in rows
    ]


def standing(permission: Permission, *, in_force: bool, on: date) -> tuple[str, str]:
    """(status, word) of a permission on `on`."""
    if in_force:
        return "open", _("In force")
    if permission.state != State.GRANTED:
        status, word = _STANDING[State(permission.state)]
        return status, _(word)
    if permission.ends and permission.ends < on:
        return "late", _("Run out")
    if permission.starts and permission.starts > on:
        return "soon", _("Not begun")
    return "shut", _("No consent in force")


def consent_row(consent: Consent, *, on: date, names: bool) -> ConsentRow:
    who = consent.landholder.name if names else _(NAMELESS).capitalize()
    sites = ", ".join(map(str, consent.sites.all()))
    return ConsentRow(consent, who, sites, *consent_standing(consent, on))


def consent_standing(consent: Consent, on: date) -> tuple[str, str]:
    """(status, word) of a consent on `on`; the same judgement as the gate's."""
    if consent_in_force(consent_facts(consent), on):
        return "open", _("In force until %(consent_ends)s") % {
            "consent_ends": date_format(consent.ends, "j M Y")
        } if consent.ends else _("In force")
    if consent.given_on is None:
        return "ask", _("Asked, no answer yet")
    if consent.withdrawn_on and consent.withdrawn_on <= on:
        return "shut", _("Withdrawn from %(consent_withdrawn_on)s") % {
            "consent_withdrawn_on": date_format(consent.withdrawn_on, "j M Y")
        }
    if consent.ends and consent.ends < on:
        return "late", _("Ended on %(consent_ends)s") % {"consent_ends": date_format(consent.ends, "j M Y")}
    return "soon", _("From %(max)s") % {
        "max": date_format(max(consent.given_on, consent.starts or consent.given_on), "j M Y")
    }


def next_reference() -> str:
    """A reference not in use, to begin with: P001, P002 and so on."""
    taken = set(Permission.objects.values_list("reference", flat=True))
    return next(
        f"P{number:03}"
        for number in range(len(taken) + 1, 2 * len(taken) + 2)
        if f"P{number:03}" not in taken
    )


def permission_context(permission: Permission, user: User, *, on: date) -> dict[str, Any]:
    """Sites, consents, terms and the moves open to `user`."""
    names, may_keep = user.holds(Right.SEE_LANDHOLDERS), user.holds(Right.MANAGE_PERMISSIONS)
    consents = permission.consents.select_related("landholder").prefetch_related(
        Prefetch("sites", Site.objects.only("code", "name"))
    )
    club = Club.objects.filter(pk=1).only("currency").first()
    moves = sorted(MOVES[State(permission.state)], key=list(State).index) if may_keep else []
    words = MOVE_WORDS | ({State.GRANTED: _("Take up again")} if permission.state == State.PAUSED else {})
    return {
        "permission": permission,
        "row": permission_rows([permission], on=on)[0],
        "sites": list(Site.objects.visible_to(user).filter(permissions=permission).defer("boundary")),
        "consents": [consent_row(c, on=on, names=names) for c in consents],
        "clauses": clauses_of(permission, currency=club.currency if club else "GBP"),
        "moves": [{"to": s.value, "word": words[s]} for s in moves],
        "may_keep": may_keep,
        "may_see_landholders": names,
        "today": on,
        "named": [p.name for p in permission.named_people.all()] if names else [],
    }
