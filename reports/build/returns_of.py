"""The returns statement of one landholder over a time: every object, where it is, and what goes back now."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Find
from people.models import Club
from permissions.models import Landholder, Permission, SiteParty
from permissions.terms.sharing_words import sharing_in_words
from permissions.terms_then import sharing_on
from reports.blocks import (
    Block,
    Column,
    Fact,
    Heading,
    Paragraph,
    PhotoGrid,
    Report,
    SignatureBox,
    Table,
    say_columns,
)
from reports.build.common import WITH_A_SAY, find_photos, long_day
from reports.build.returns import fate_words, held_words, no_terms_words
from tongue import noop

COLUMNS = (
    Column(noop("Number")),
    Column(noop("Object")),
    Column(noop("How many"), numeric=True),
    Column(noop("Found")),
    Column(noop("Held now by")),
    Column(noop("What happens")),
)
GOES_BACK = noop("goes back to you with this statement")


@dataclass(frozen=True, slots=True)
class Scope:
    """Whose finds, and of which days."""

    landholder: Landholder
    since: date
    until: date


def finds_of(scope: Scope) -> list[Find]:
    """Live finds of hunts in the time, from land where the landholder had a say on the day of the hunt; few queries."""
    parties = SiteParty.objects.filter(landholder=scope.landholder, capacity__in=WITH_A_SAY)
    own = Q(pk__in=[])
    for party in parties:
        since = max(scope.since, party.since or scope.since)
        until = min(scope.until, party.until or scope.until)
        own |= Q(site=party.site_id, hunt__on__range=(since, until))
    rows = Find.objects.filter(own, withdrawn_at=None).detailed().select_related("hunt__permission")
    return list(rows.prefetch_related("custody", "cases").order_by("number"))


def returns_of(
    scope: Scope, finds: Sequence[Find], going: Collection[int], *, number: str, on: date
) -> Report:
    """Return the statement over `finds`, of which those with keys in `going` go back now."""
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    who = scope.landholder.name
    return Report(
        kind="returns",
        number=number,
        title=_("Returns statement"),
        subtitle=_("%(long_day)s to %(value)s")
        % {"long_day": long_day(scope.since), "value": long_day(scope.until)},
        club=club.name,
        issued_on=on,
        facts=(
            Fact(_("For"), who),
            Fact(_("Objects"), str(len(finds))),
            Fact(_("Going back now"), str(len(going))),
        ),
        blocks=tuple(_blocks(finds, going, club, who)),
    )


def _blocks(finds: Sequence[Find], going: Collection[int], club: Club, who: str) -> list[Block]:
    if not finds:
        return [Paragraph(_("Nothing was kept in this time, so nothing is to be returned."))]
    now = [find for find in finds if find.pk in going]
    later = [find for find in finds if find.pk not in going]
    blocks: list[Block] = [Paragraph(words) for words in _terms(finds, club)]
    if now:
        rows = tuple(_row(find, _(GOES_BACK)) for find in now)
        blocks.append(Table(_("What goes back now"), say_columns(COLUMNS), rows))
    if later:
        rows = tuple(_row(find, fate_words(find)) for find in later)
        blocks.append(Table(_("What does not go back now, and why"), say_columns(COLUMNS), rows))
    if photos := find_photos(now):
        blocks += [Heading(_("Photographs of what goes back")), PhotoGrid(photos)]
    if now:
        statement = _(
            "The objects that go back now were received. Anything missing or not right is written here:"
        )
        blocks.append(SignatureBox(statement, (who, _("For %(club_name)s") % {"club_name": club.name})))
    return blocks


def _terms(finds: Sequence[Find], club: Club) -> list[str]:
    """The terms under which each hunt's finds go back, as they stood on its day; the same words once."""
    said: dict[str, None] = {}
    seen: dict[tuple[int, date], Permission] = {}
    for find in finds:
        if find.hunt.permission is None:
            said[no_terms_words(find.hunt)] = None
        else:
            seen[find.hunt.permission.pk, find.hunt.on] = find.hunt.permission
    for (_pk, day), permission in seen.items():
        words = sharing_in_words(sharing_on(permission, day)[0], club.currency)
        said[
            _("Agreed in %(reference)s: %(shared)s") % {"reference": permission.reference, "shared": words}
        ] = None
    return list(said)


def _row(find: Find, fate: str) -> tuple[str, ...]:
    day = date_format(find.hunt.on, "j M Y")
    return (find.number, find.object_type, str(find.count), day, held_words(find), fate)
