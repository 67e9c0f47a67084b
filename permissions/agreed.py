"""A permission's columns as the frozen terms that the gate judges and people read."""

from decimal import Decimal

from django.utils.translation import gettext as _

from permissions.models import Permission
from permissions.terms import (
    Clause,
    DogRule,
    Findspot,
    LivestockRule,
    Per,
    Photographs,
    Sharing,
    Terms,
    Threshold,
    Whole,
    WhoMay,
    clauses,
)

_RULES = {"whole": Whole.WHOLE_VALUE, "excess": Whole.EXCESS_ONLY}


def terms_of(permission: Permission, *, currency: str = "GBP") -> Terms:
    """The terms of `permission` with amounts in `currency` (ISO 4217). No query."""
    p = permission
    return Terms(
        weekdays=frozenset(int(day) for day in p.weekdays) or None,
        hours_from=p.hours_from,
        hours_to=p.hours_to,
        max_heads=p.max_heads,
        who=WhoMay.NAMED_ONLY if p.named_only else WhoMay.ANY_MEMBER,
        guests=p.guests_allowed,
        juniors=p.juniors_allowed,
        minimum_age=p.minimum_age,
        notice_hours=p.notice_hours,
        max_vehicles=p.max_vehicles,
        depth_limit_cm=p.depth_limit_cm,
        livestock=LivestockRule(p.livestock_rule),
        livestock_note=p.livestock,
        dogs=DogRule.ALLOWED if p.dogs_allowed else DogRule.NONE,
        fee_per_head=p.fee_per_head or Decimal(0),
        currency=currency,
        sharing=sharing_of(p),
        findspot_landholder=Findspot.FULL if p.findspots_to_landholder else Findspot.SQUARE_1_KM,
        photographs=Photographs(p.photographs),
        insurance_floor=None if p.insurance_floor is None else Decimal(p.insurance_floor),
        termination_days=p.ending_notice_days,
    )


def sharing_of(permission: Permission) -> Sharing:
    return Sharing(
        landholder_percent=permission.share_percent,
        threshold=permission.share_threshold,
        wording=Threshold(permission.share_wording),
        rule=_RULES[permission.share_rule],
        per=Per(permission.share_unit),
        organiser_percent=permission.organiser_percent,
    )


def clauses_of(permission: Permission, *, currency: str = "GBP") -> list[Clause]:
    """Every term as a sentence with its topic, then what was agreed in words of its own."""
    p = permission
    own = (
        ("Notice", p.notice_to and _("Notice goes to %(p_notice_to)s") % {"p_notice_to": p.notice_to}),
        ("Vehicles", p.vehicles),
        ("Photographs", p.publicity),
        ("Also agreed", p.other_terms),
    )
    extra = [
        Clause(topic, words if words.endswith((".", "!", "?")) else f"{words}.")
        for topic, words in own
        if words
    ]
    return [*clauses(terms_of(p, currency=currency)), *extra]
