"""From a reason of the gate to the form that answers it: a link for who holds the right, for others who does."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import ROLE_NAMES, ROLE_RIGHTS, Right
from permissions.gate import Decision, ReasonCode
from permissions.models import Permission, Site
from permissions.states import State

if TYPE_CHECKING:
    from datetime import date

Known = dict[str, int]
"""The keys at hand for an address by kind of record: `site` always, `permission` and `hunt` where there is one."""


@dataclass(frozen=True, slots=True)
class Way:
    """What answers a reason. Without a `url`, `words` are a sentence that says whose work it is."""

    words: str
    url: str = ""


class AnyReason(Protocol):
    """A reason as the gate gave it, or as a hunt keeps it."""

    @property
    def code(self) -> str: ...
    @property
    def effect(self) -> str: ...
    @property
    def words(self) -> str: ...
    @property
    def record(self) -> str: ...
    @property
    def until(self) -> "date | None": ...


@dataclass(frozen=True, slots=True)
class ShownReason:
    """One reason as _parts/_reasons.html shows it."""

    effect: str
    words: str
    until: "date | None"
    way: Way | None


@dataclass(frozen=True, slots=True)
class _Form:
    right: Right
    words: Promise
    url_name: str
    of: str  # the kind of record whose key the address takes
    query: str = ""  # or the name under which the address takes it as a question


_LAND, _KEEP, _PEOPLE = Right.MANAGE_LAND, Right.MANAGE_PERMISSIONS, Right.MANAGE_PEOPLE
_SITE = _Form(_LAND, _lazy("Change the site"), "permissions:site_edit", "site")
_STATE = _Form(_LAND, _lazy("Say what is on the field"), "permissions:field_state_add", "site")
_CHECK = _Form(_LAND, _lazy("Record a check"), "permissions:protected_check_add", "site")
_LICENCE = _Form(
    _LAND, _lazy("Record a licence or consent of an authority"), "permissions:licence_add", "site"
)
_PARTY = _Form(_KEEP, _lazy("Record a landholder"), "permissions:party_add", "site")
_NEW = _Form(_KEEP, _lazy("Write down a permission"), "permissions:permission_add", "site", query="site")
_CONSENT = _Form(_KEEP, _lazy("Record a consent"), "permissions:consent_add", "permission")
_CONSENT_EDIT = _Form(_KEEP, _lazy("Complete this consent"), "permissions:consent_edit", "consent")
_TERMS = _Form(_KEEP, _lazy("Change the permission"), "permissions:permission_edit", "permission")
_AGREED = _Form(_KEEP, _lazy("Look at the permission"), "permissions:permission_detail", "permission")
_PLAN = _Form(Right.PLAN_HUNT, _lazy("Change the plan of this hunt"), "hunts:edit", "hunt")
_TOLD = _Form(Right.PLAN_HUNT, _lazy("Say when they were told"), "hunts:edit", "hunt")
_MEMBER = _Form(_PEOPLE, _lazy("Record the membership"), "people:membership_add", "person")
_INSURED = _Form(_PEOPLE, _lazy("Record the insurance"), "people:insurance_add", "person")
_PERSON = _Form(_PEOPLE, _lazy("Change what is on record of this person"), "people:person_edit", "person")

_FORMS: dict[_Form, str] = {
    _NEW: "permission_none",
    _AGREED: "permission_refused permission_paused permission_ended permission_draft permission_asked "
    "overlap_paused overlap_refused overlap_terms",
    _TERMS: "permission_not_started permission_expired permission_other_site permission_dates_reversed "
    "not_named names_unknown",
    _CONSENT: "consent_missing consent_withdrawn consent_ended",
    _CONSENT_EDIT: "consent_not_given consent_not_started consent_dates_reversed consent_other_site "
    "consent_order_unclear consent_no_evidence",
    _PARTY: "owner_unknown occupier_unknown agent_without_authority agent_for_nobody",
    _SITE: "tenure_unknown tenure_contradicted jurisdiction_unknown far_from_club",
    _STATE: "field_state field_state_unknown field_state_old livestock",
    _CHECK: "protected_check_missing protected_check_old",
    _LICENCE: "protected_touches protected_buffer licence_missing",
    _PLAN: "weekday hours hours_unknown heads_over heads_unknown",
    _TOLD: "notice_short notice_due inform_due",
    _MEMBER: "membership",
    _INSURED: "insurance insurance_low insurance_unknown",
    _PERSON: "age_unknown",
}
FORMS = {ReasonCode(code): form for form, codes in _FORMS.items() for code in codes.split()}
"""Not in here is what no form answers: retired ground, closed periods, no-go, vehicles, dogs, people kept out."""


def shown_reasons(reasons: Iterable[AnyReason], known: Known, user: User) -> list[ShownReason]:
    return [ShownReason(r.effect, r.words, r.until, way_of(r, known, user)) for r in reasons]


def way_of(reason: AnyReason, known: Known, user: User) -> Way | None:
    """The way to what answers `reason`; None where no form does or its record is not known."""
    form = FORMS.get(ReasonCode(reason.code)) if reason.effect != "open" else None
    kind, _colon, key = reason.record.partition(":")
    keys = known | ({kind: int(key)} if key.isdecimal() else {})
    if form is None or form.of not in keys:
        return None
    if not user.holds(form.right):
        return Way(_whose(form))
    if form.query:
        return Way(str(form.words), f"{reverse(form.url_name)}?{form.query}={keys[form.of]}")
    return Way(str(form.words), reverse(form.url_name, args=[keys[form.of]]))


def _whose(form: _Form) -> str:
    roles = [str(ROLE_NAMES[role]).lower() for role, rights in ROLE_RIGHTS.items() if form.right in rights]
    return _("%(what)s: that is for the %(who)s.") % {"what": form.words, "who": " / ".join(roles)}


def known_of(sites: Iterable[Site]) -> dict[int, Known]:
    """What is known of each site without a hunt: its permission too, where just one may come to be used."""
    found: dict[int, list[int]] = {site.pk: [] for site in sites}
    live = [State.GRANTED, State.ASKED, State.DRAFT, State.PAUSED]
    rows = Permission.objects.filter(sites__in=list(found), state__in=live).values_list("sites", "pk")
    for site, permission in rows:
        if site in found:
            found[site].append(permission)
    return {
        site: {"site": site} | ({"permission": pks[0]} if len(pks) == 1 else {})
        for site, pks in found.items()
    }


def reasons_by_site(
    sites: Iterable[Site], decisions: dict[int, Decision], user: User
) -> dict[int, list[ShownReason]]:
    """The reasons of each site's decision with their ways; one query however many sites there are."""
    known = known_of(sites)
    return {pk: shown_reasons(decisions[pk].reasons, keys, user) for pk, keys in known.items()}
