"""What the gate says about a hunt: asked, kept with the hunt, and compared with what it said before."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from hashlib import sha256
from typing import Any

from django.utils.translation import gettext as _

from hunts.errors import HuntError
from hunts.models import Hunt
from people.models import User
from permissions.gate import Answer, Decision, PersonFacts, Reason, worst
from permissions.gate_facts import answers_for
from permissions.gate_people import personal_reasons
from permissions.gate_ways import Way, way_of
from permissions.models import Permission, Site


@dataclass(frozen=True, slots=True)
class Said:
    """One reason as it was given, with the day it ends where that is known."""

    code: str
    effect: str
    words: str
    record: str
    until: date | None = None
    way: Way | None = None  # to what answers it; for a page only, never kept


@dataclass(frozen=True, slots=True)
class SiteSaid:
    """The gate's answer for one site, the worst reason first."""

    site: int
    name: str
    answer: str
    reasons: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class GateSaid:
    """The answers for all sites of a hunt; the worst is the hunt's."""

    sites: tuple[SiteSaid, ...]

    @property
    def answer(self) -> Answer:
        return worst(Answer(each.answer) for each in self.sites)

    @property
    def key(self) -> str:
        """Changes when an answer or a reason does: what a person has read is named by it."""
        lines = [f"{s.site}|{s.answer}|{r.code}|{r.effect}|{r.record}" for s in self.sites for r in s.reasons]
        return sha256("\n".join([str(self.answer), *lines]).encode()).hexdigest()[:16]

    @property
    def bars(self) -> list[str]:
        """The words of the reasons that make the answer what it is."""
        return [
            f"{s.name}: {r.words}"
            for s in self.sites
            for r in s.reasons
            if r.effect == self.answer != Answer.OPEN
        ]

    def as_json(self) -> list[dict[str, Any]]:
        return [
            {
                "site": s.site,
                "name": s.name,
                "answer": s.answer,
                "reasons": [
                    {
                        "code": r.code,
                        "effect": r.effect,
                        "words": r.words,
                        "record": r.record,
                        "until": r.until.isoformat() if r.until else None,
                    }
                    for r in s.reasons
                ],
            }
            for s in self.sites
        ]


def with_ways(said: GateSaid, user: User, *, permission: int, hunt: int | None = None) -> GateSaid:
    """The same answer with the way from each reason to the form that answers it, as far as `user` may go."""
    known = {"permission": permission} | ({"hunt": hunt} if hunt else {})
    return GateSaid(tuple(_with_ways(site, known, user) for site in said.sites))


def _with_ways(said: SiteSaid, known: dict[str, int], user: User) -> SiteSaid:
    keys = known | {"site": said.site}
    return replace(said, reasons=tuple(replace(r, way=way_of(r, keys, user)) for r in said.reasons))


def kept(hunt: Hunt) -> GateSaid | None:
    """What was kept with the hunt when the gate was last asked for it, or None."""
    sites = hunt.gate_answer.get("sites") or []
    return GateSaid(tuple(_site(row) for row in sites)) if sites else None


def _site(row: dict[str, Any]) -> SiteSaid:
    reasons = (
        Said(
            r["code"],
            r["effect"],
            r["words"],
            r["record"],
            date.fromisoformat(r["until"]) if r["until"] else None,
        )
        for r in row["reasons"]
    )
    return SiteSaid(row["site"], row["name"], row["answer"], tuple(reasons))


def ask_gate(
    permission: Permission,
    sites: Iterable[Site],
    hunt: Hunt,
    *,
    at: datetime,
    people: Iterable[User] = (),
    guests: Iterable[PersonFacts] = (),
    names: bool = False,
) -> GateSaid:
    """Ask the gate about `sites` on the hunt's date, times and places. The hunt need not be saved yet.

    `names` True names landholders in the reasons: only for a page whose reader may see them, never kept.
    """
    rows = list(sites)
    answers = answers_for(
        rows,
        hunt.on,
        people=tuple(people),
        guests=tuple(guests),
        heads=hunt.capacity,
        starts_at=hunt.starts_at,
        ends_at=hunt.ends_at,
        decided_at=at,
        told_at=hunt.told_at,
        permission=permission,
        names=names,
    )
    return GateSaid(tuple(_said(site, answers[site.pk]) for site in rows))


def _said(site: Site, decision: Decision) -> SiteSaid:
    reasons = (Said(r.code.value, r.effect.value, r.words, r.record, r.until) for r in decision.reasons)
    return SiteSaid(site.pk, str(site), decision.answer.value, tuple(reasons))


def gate_now(
    hunt: Hunt,
    *,
    at: datetime,
    people: Iterable[User] = (),
    guests: Iterable[PersonFacts] = (),
    names: bool = False,
) -> GateSaid:
    """Ask the gate about a hunt that is saved. Raises HuntError for a past outing: nobody asks about the past."""
    if hunt.permission is None or hunt.is_past_outing:
        raise _nobody_asks(hunt)
    return ask_gate(hunt.permission, hunt.sites.all(), hunt, at=at, people=people, guests=guests, names=names)


def personal_bars(hunt: Hunt, user: User) -> list[str]:
    """Why the terms shut the gate for this person alone: not named, cover too low; empty if they may come.

    Asks about the person, not about the ground: whether the hunt may be is asked when it opens and when it starts.
    """
    reasons = about_people(hunt, people=[user])
    return sorted({reason.words for reason in reasons if reason.effect is Answer.SHUT})


def about_people(
    hunt: Hunt, *, people: Iterable[User] = (), guests: Iterable[PersonFacts] = ()
) -> list[Reason]:
    """What the gate says of these people on the hunt. Raises HuntError for a past outing."""
    if hunt.permission_id is None or hunt.is_past_outing:
        raise _nobody_asks(hunt)
    sites = hunt.sites.all()
    return personal_reasons(sites, hunt.on, permission=hunt.permission_id, people=people, guests=guests)


def _nobody_asks(hunt: Hunt) -> HuntError:
    return HuntError(
        _("%(hunt_code)s is a past outing; the gate was not asked and no answer was recorded.")
        % {"hunt_code": hunt.code}
    )
