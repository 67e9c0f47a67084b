"""Everything a heritage report and its data package say of one case, read once, so that the two agree."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.circumstances import TICKS
from finds.models import Case, CustodyEntry, Find, FindPhoto
from finds.nearby import Nearby, nearby
from finds.points import all_shown_to
from finds.record_page import associated_words
from finds.screens import ScreeningShown, latest_records, shown
from hunts.models import Hunt
from law.screening import DutyFound
from people.models import Club, User
from people.sensitivity import ShownPoint
from permissions.models import SiteParty
from reports.build.common import WITH_A_SAY
from reports.build.heritage_effort import Effort, earlier_searches, effort_of
from web.position_model import Method


@dataclass(frozen=True, slots=True)
class ObjectFacts:
    """One object of the case with all that belongs to it."""

    find: Find
    point: ShownPoint | None
    screening: ScreeningShown | None
    associated: str
    near: Nearby
    photos: tuple[FindPhoto, ...]
    parties: tuple[SiteParty, ...]
    custody: tuple[CustodyEntry, ...]

    @property
    def duties(self) -> tuple[DutyFound, ...]:
        """What is or may be owed for a reason that was found; what is open only for want of an answer is left out."""
        return tuple(self.screening.duties) if self.screening else ()

    @property
    def owners(self) -> str:
        """'Ada Warp (owner); Bo Wold (occupier (tenant))': who had a say on the day."""
        return "; ".join(
            f"{row.landholder.name} ({row.get_capacity_display().lower()})" for row in self.parties
        )

    @property
    def holder(self) -> CustodyEntry | None:
        return self.custody[-1] if self.custody else None

    @property
    def where_now(self) -> str:
        """Who has it now and since when."""
        last = self.holder
        if last is None:
            return ""
        back = (
            _(", due back %(last_due_back)s") % {"last_due_back": date_format(last.due_back, "j F Y")}
            if last.due_back
            else ""
        )
        since = _("since %(last_at)s") % {"last_at": date_format(localtime(last.at), "j F Y")}
        return f"{last.to_shown} ({last.get_to_holder_display().lower()}), {since}{back}"

    @property
    def circumstances(self) -> str:
        """How it came to light, in sentences out of the record."""
        find = self.find
        how = _("Found by %(finder_name)s with a metal detector in an organised search (%(hunt_title)s)") % {
            "finder_name": find.finder.name,
            "hunt_title": find.hunt.title,
        }
        words = [_("%(how)s, led by %(leader_name)s.") % {"how": how, "leader_name": find.hunt.leader.name}]
        if find.hole:
            words.append(
                _("Dug from hole %(hole_number)s of that search.") % {"hole_number": find.hole.number}
            )
        ticked = [_(said) for name, said in TICKS.items() if find.facts.get(name) == "yes"]
        if ticked:
            words.append(_("Noted: %(ticked)s.") % {"ticked": "; ".join(ticked)})
        return " ".join(words)

    @property
    def fixed_by(self) -> str:
        return str(Method(self.find.position_method).label) if self.find.position_method else ""


@dataclass(frozen=True, slots=True)
class CaseFacts:
    case: Case
    club: Club
    objects: tuple[ObjectFacts, ...]
    efforts: tuple[Effort, ...]
    earlier: tuple[Hunt, ...]


def gather(case: Case, *, by: User, at: datetime) -> CaseFacts:
    """Read the case with full findspots; each look at a locked one is recorded for `by`."""
    finds = list(
        case.finds.filter(withdrawn_at=None)
        .with_history()
        .select_related("hunt__blank_ground")
        .order_by("found_at", "pk")
    )
    points = all_shown_to(finds, by, at=at, where="heritage report")
    records = latest_records(finds)
    associated, near = associated_words(finds), nearby(finds)
    objects = tuple(
        ObjectFacts(
            find=find,
            point=points[find.pk],
            screening=shown(records[find.pk]) if find.pk in records else None,
            associated=associated[find.pk],
            near=near[find.pk],
            photos=tuple(sorted(find.photos.all(), key=lambda photo: photo.pk)),
            parties=_parties(find),
            custody=tuple(sorted(find.custody.all(), key=lambda entry: entry.step)),
        )
        for find in finds
    )
    hunts = sorted({find.hunt for find in finds}, key=lambda hunt: (hunt.on, hunt.pk))
    earlier = earlier_searches({find.site_id for find in finds}, hunts[0].on) if hunts else []
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    return CaseFacts(case, club, objects, tuple(effort_of(hunt) for hunt in hunts), tuple(earlier))


def _parties(find: Find) -> tuple[SiteParty, ...]:
    """Owner, occupier and agent of the land on the day, in a steady order."""
    day = localtime(find.found_at).date()
    rows = [row for row in find.site.parties.all() if row.capacity in WITH_A_SAY and row.has_say_on(day)]
    return tuple(sorted(rows, key=lambda row: (row.capacity != "owner", row.pk)))
