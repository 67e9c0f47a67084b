"""What a season came to, for the club or for the land of one landholder, read from the records in a few queries."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Count, DurationField, Exists, ExpressionWrapper, F, OuterRef, Q, QuerySet, Sum

from finds.forms.filters import season_days
from finds.models import Case, CaseOutcome, Find, RewardShare, SheetPayment
from finds.models.find import FindQuerySet
from finds.sheets import landholder_key
from finds.states import LOCKS
from hunts.cover_page import covered_of
from hunts.ground import grounds_now
from hunts.models import Attendance, Guest, Hole, Hunt, HuntSite, Incident, TrackCover
from hunts.states import HoleState, HuntState
from permissions.models import Landholder, Site, SiteParty
from reports.build.common import WITH_A_SAY


@dataclass
class YearFigures:
    """Counts of one season. For a landholder only their own land counts; people, hours and scrap are whole visits."""

    first: date
    last: date
    hunts: list[Hunt] = field(default_factory=list)
    came: dict[int, int] = field(default_factory=dict)  # people by hunt, guests among them
    hours: dict[int, float] = field(default_factory=dict)
    different_people: int = 0
    sites: list[Site] = field(default_factory=list)
    searched_m2: float = 0.0
    covered_m2: float = 0.0
    tracks: int = 0
    holes: int = 0
    filled: int = 0
    finds: FindQuerySet = field(default_factory=Find.objects.none)
    find_total: int = 0
    objects: int = 0
    records_made: int = 0
    cases: list[tuple[str, int]] = field(default_factory=list)
    earlier_cases: int = 0
    shared: list[tuple[str, Decimal]] = field(default_factory=list)
    rewards: list[tuple[str, Decimal]] = field(default_factory=list)
    scrap_kg: Decimal = Decimal(0)
    not_weighed: int = 0
    incidents: list[tuple[str, int]] = field(default_factory=list)


def has_a_say(landholder: Landholder, *, site: str, on: str) -> Exists:
    """A condition on rows with a site and a day: this landholder owned, farmed or acted for it that day."""
    parties = SiteParty.objects.filter(
        Q(since__isnull=True) | Q(since__lte=OuterRef(on)),
        Q(until__isnull=True) | Q(until__gte=OuterRef(on)),
        site=OuterRef(site),
        landholder=landholder,
        capacity__in=WITH_A_SAY,
    )
    return Exists(parties)


def year_figures(year: int, landholder: Landholder | None) -> YearFigures:
    """The season that began in `year`: hunts that were closed, and what came of them."""
    made = YearFigures(*season_days(year))
    at_work = HuntSite.objects.filter(
        hunt__on__range=(made.first, made.last), hunt__state=HuntState.CLOSED
    ).select_related("hunt", "site")
    pairs = list(_own(at_work, landholder, site="site", on="hunt__on"))
    made.hunts = list(
        {pair.hunt_id: pair.hunt for pair in sorted(pairs, key=lambda p: (p.hunt.on, p.hunt_id))}.values()
    )
    made.sites = list({pair.site_id: pair.site for pair in sorted(pairs, key=lambda p: p.site.code)}.values())
    made.searched_m2 = sum(site.searchable_m2 for site in made.sites)
    _people(made)
    _holes(made, landholder)
    _finds(made, landholder)
    _money(made, landholder)
    _ground(made)
    made.scrap_kg = sum((hunt.scrap_kg or Decimal(0) for hunt in made.hunts), Decimal(0))
    made.not_weighed = sum(hunt.scrap_kg is None for hunt in made.hunts)
    _incidents(made, landholder)
    return made


def _own(rows: Any, landholder: Landholder | None, *, site: str, on: str) -> Any:
    return rows if landholder is None else rows.filter(has_a_say(landholder, site=site, on=on))


def _ids(made: YearFigures) -> list[int]:
    return [hunt.pk for hunt in made.hunts]


def _people(made: YearFigures) -> None:
    stayed = ExpressionWrapper(F("signed_out_at") - F("signed_in_at"), output_field=DurationField())
    came: Counter[int] = Counter()
    hours: dict[int, float] = defaultdict(float)
    for rows, hunt in (
        (Attendance.objects.filter(sign_up__hunt__in=_ids(made)), "sign_up__hunt"),
        (Guest.objects.filter(hunt__in=_ids(made), signed_in_at__isnull=False), "hunt"),
    ):
        for row in rows.order_by().values(hunt).annotate(n=Count("*"), stayed=Sum(stayed)):
            came[row[hunt]] += row["n"]
            hours[row[hunt]] += row["stayed"].total_seconds() / 3600 if row["stayed"] else 0.0
    made.came, made.hours = dict(came), dict(hours)
    members = Attendance.objects.filter(sign_up__hunt__in=_ids(made)).order_by()
    made.different_people = members.values("sign_up__user").distinct().count()


def _holes(made: YearFigures, landholder: Landholder | None) -> None:
    rows = _own(Hole.objects.filter(hunt__in=_ids(made)), landholder, site="site", on="hunt__on")
    said = rows.order_by().aggregate(
        all=Count("pk"), filled=Count("pk", filter=Q(state__in=[HoleState.FILLED, HoleState.CHECKED]))
    )
    made.holes, made.filled = said["all"], said["filled"]


def _finds(made: YearFigures, landholder: Landholder | None) -> None:
    live = Find.objects.filter(withdrawn_at=None)
    made.finds = _own(live.filter(hunt__in=_ids(made)), landholder, site="site", on="hunt__on")
    said = made.finds.order_by().aggregate(all=Count("pk"), objects=Sum("count"))
    made.find_total, made.objects = said["all"], said["objects"] or 0
    recorded = live.filter(recorded_at__date__range=(made.first, made.last))
    made.records_made = _own(recorded, landholder, site="site", on="hunt__on").count()
    cases = Case.objects.filter(finds__in=made.finds).order_by().values_list("pk", "state").distinct()
    made.cases = sorted(Counter(state for _, state in cases).items())
    if landholder is None:
        running = Case.objects.filter(state__in=LOCKS).exclude(pk__in=[pk for pk, _ in cases])
        made.earlier_cases = running.filter(opened_at__date__lte=made.last).count()


def _money(made: YearFigures, landholder: Landholder | None) -> None:
    """What was paid to landholders under settlements, and rewards that authorities gave; never mixed."""
    paid = SheetPayment.objects.filter(on__range=(made.first, made.last), payee__startswith="landholder:")
    if landholder is not None:
        paid = paid.filter(payee=landholder_key(landholder.pk))
    summed = paid.order_by().values("sheet__currency").annotate(all=Sum("amount"))
    made.shared = sorted(summed.values_list("sheet__currency", "all"))
    last = CaseOutcome.objects.filter(case=OuterRef("case")).order_by("-pk").values("pk")[:1]
    outcomes = CaseOutcome.objects.filter(
        pk=last, case__in=Case.objects.filter(finds__in=made.finds).values("pk"), reward__isnull=False
    )
    made.rewards = _rewards(outcomes, landholder)


def _rewards(outcomes: QuerySet[CaseOutcome], landholder: Landholder | None) -> list[tuple[str, Decimal]]:
    """For the club whole rewards; for a landholder the parts of owner and occupier that name nobody else."""
    if landholder is None:
        whole = outcomes.order_by().values("currency").annotate(all=Sum("reward"))
        return sorted(whole.values_list("currency", "all"))
    theirs = RewardShare.objects.filter(
        Q(name="") | Q(name=landholder.name),
        outcome__in=outcomes.values("pk"),
        party__in=[RewardShare.Party.OWNER, RewardShare.Party.OCCUPIER],
    )
    rows = theirs.order_by().values("outcome__currency").annotate(all=Sum("amount"))
    return sorted(rows.values_list("outcome__currency", "all"))


def _ground(made: YearFigures) -> None:
    """Ground that the season's tracks drew, each spot counted once, on the sites as they are bounded now."""
    rows = TrackCover.objects.filter(
        track__hunt__in=_ids(made), site__in=[site.pk for site in made.sites]
    ).select_related("track")
    by_site: dict[int, list[TrackCover]] = defaultdict(list)
    for row in rows.defer("track__trace", "track__line", "track__notes").order_by("pk"):
        by_site[row.site_id].append(row)
    made.tracks = len({row.track_id for listed in by_site.values() for row in listed})
    if by_site:
        grounds, _ = grounds_now(Site.objects.filter(pk__in=by_site))
        covered = (covered_of(ground, by_site[ground.site.pk]).figures for ground in grounds)
        made.covered_m2 = sum(each.drawn_m2 for each in covered if each is not None)


def _incidents(made: YearFigures, landholder: Landholder | None) -> None:
    """By kind. An injury is told to the club alone; where no field is named, it counts for the whole visit."""
    rows: Iterable[Incident] = Incident.objects.filter(hunt__in=_ids(made)).only("kind", "site_id", "hunt_id")
    if landholder is not None:
        own = {site.pk for site in made.sites}
        rows = [r for r in rows if r.kind != Incident.Kind.INJURY and (r.site_id is None or r.site_id in own)]
    counts = Counter(str(row.get_kind_display()) for row in rows)
    made.incidents = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
