"""Patterns in the finds: how many of what, how many hours each took, and when they were made."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, DurationField, ExpressionWrapper, F, Sum
from django.utils.translation import gettext as _

from finds.dates import year_words
from finds.forms.filters import season_days, season_of, season_words
from finds.map_query import narrowed
from finds.models import Find
from finds.models.find import FindQuerySet, Material
from geo.aoristic import RUNS, Chart, astronomical, chart, edges_for, historical
from hunts.models import Attendance, Hunt, HuntSite
from hunts.states import HuntState
from people.models import User

MOST_ROWS = 15
MOST_SPANS = (
    800  # more different spans than this are drawn fewer times, so that the page comes in a second or so
)
FEWER_RUNS = 199


def seen_finds(user: User, asked: Mapping[str, Any]) -> FindQuerySet:
    """The finds that the page counts: every record that the reader sees, locked ones too, for it names no place."""
    return narrowed(Find.objects.visible_to(user), asked)


def by_period(finds: FindQuerySet) -> list[tuple[str, int]]:
    """Finds by the period on record, the most first; rare ones together last."""
    rows = finds.order_by().values("period").annotate(n=Count("*")).values_list("period", "n")
    return _topped(Counter({period or _("No period given"): n for period, n in rows}))


def by_material(finds: FindQuerySet) -> list[tuple[str, int]]:
    """Finds by material; one of two materials counts under both."""
    rows = finds.order_by().values("materials__material").annotate(n=Count("*"))
    words = _material_words()
    said = {words.get(row["materials__material"], _("No material given")): row["n"] for row in rows}
    return _topped(Counter(said))


def _material_words() -> dict[str, str]:
    return {value: str(label) for value, label in Material.choices}


def _topped(counts: Counter[str]) -> list[tuple[str, int]]:
    top = counts.most_common(MOST_ROWS)
    rest = counts.total() - sum(n for _rest, n in top)
    return [*top, (_("All others"), rest)] if rest else top


def crossed(finds: FindQuerySet) -> dict[str, Any]:
    """Period against material as rows of a table, both as in `by_period` and `by_material` without the rare."""
    rows = finds.order_by().values("period", "materials__material").annotate(n=Count("*"))
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    columns: Counter[str] = Counter()
    words = _material_words()
    for row in rows:
        material = words.get(row["materials__material"], _("None given"))
        counts[row["period"] or _("No period given")][material] += row["n"]
        columns[material] += row["n"]
    names = sorted(columns, key=lambda name: (-columns[name], name))
    periods = sorted(counts, key=lambda period: (-counts[period].total(), period))[:MOST_ROWS]
    return {
        "names": names,
        "rows": [(each, [counts[each][name] or "" for name in names]) for each in periods],
    }


@dataclass
class Effort:
    """Hunts, people's hours together, and finds; `words` says whose."""

    words: str
    hunts: int = 0
    people: int = 0
    hours: float = 0.0
    finds: int = 0
    pk: int | None = None

    @property
    def hours_a_find(self) -> float | None:
        return self.hours / self.finds if self.finds else None

    def add(self, people: int, hours: float, finds: int) -> None:
        self.hunts += 1
        self.people += people
        self.hours += hours
        self.finds += finds


@dataclass
class Efforts:
    """The same hours and finds by season, by site and by hunt. `aside` hunts were on several sites."""

    seasons: list[Effort] = field(default_factory=list)
    sites: list[Effort] = field(default_factory=list)
    hunts: list[Effort] = field(default_factory=list)
    hunt_total: int = 0
    aside: int = 0
    past: int = 0  # outings entered later: nobody kept their hours


def hunts_asked(user: User, asked: Mapping[str, Any]) -> Any:
    """The hunts that were held, as far as the filters name hunts: code, site and season."""
    hunts = Hunt.objects.visible_to(user).filter(state__in=[HuntState.RUNNING, HuntState.CLOSED])
    if "hunt" in asked:
        hunts = hunts.filter(code__iexact=asked["hunt"])
    if "site" in asked:
        hunts = hunts.filter(sites__code__iexact=asked["site"])
    if "season" in asked:
        hunts = hunts.filter(on__range=season_days(asked["season"]))
    return hunts.order_by("-on", "-pk")


def efforts(user: User, asked: Mapping[str, Any], finds: FindQuerySet) -> Efforts:
    """Hours from the roll call (in to out; nobody still out counts) against finds, blank hunts among them.

    A site's row holds hunts on that site alone, and so does all where one site is asked for: nobody wrote down how
    a day was shared between several.
    """
    held = hunts_asked(user, asked)
    hunts = list(held.filter(past_basis="").values_list("pk", "code", "on"))
    hours, sites = _hours(pk for pk, _rest, _rest in hunts), _sites(pk for pk, _rest, _rest in hunts)
    counts = dict(finds.order_by().values("hunt").annotate(n=Count("*")).values_list("hunt", "n"))
    made = Efforts(hunt_total=len(hunts), past=held.exclude(past_basis="").count())
    seasons: dict[int, Effort] = {}
    by_site: dict[str, Effort] = {}
    for pk, code, on in hunts:
        made.aside += len(sites[pk]) > 1
        if "site" in asked and len(sites[pk]) > 1:
            continue
        numbers = (*hours.get(pk, (0, 0.0)), counts.get(pk, 0))
        season = season_of(on)
        seasons.setdefault(season, Effort(season_words(season))).add(*numbers)
        if len(sites[pk]) == 1:
            by_site.setdefault(sites[pk][0], Effort(sites[pk][0])).add(*numbers)
        if len(made.hunts) < MOST_ROWS:
            made.hunts.append(Effort(code, pk=pk))
            made.hunts[-1].add(*numbers)
    made.seasons = [seasons[year] for year in sorted(seasons, reverse=True)]
    made.sites = sorted(by_site.values(), key=lambda row: (-row.hours, row.words))[: 2 * MOST_ROWS]
    return made


def _hours(hunts: Iterable[int]) -> dict[int, tuple[int, float]]:
    stayed = ExpressionWrapper(F("signed_out_at") - F("signed_in_at"), output_field=DurationField())
    rows = Attendance.objects.filter(sign_up__hunt__in=list(hunts)).order_by().values("sign_up__hunt")
    summed = rows.annotate(people=Count("*"), stayed=Sum(stayed))
    return {
        row["sign_up__hunt"]: (row["people"], row["stayed"].total_seconds() / 3600 if row["stayed"] else 0.0)
        for row in summed
    }


def _sites(hunts: Iterable[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    rows = HuntSite.objects.filter(hunt__in=list(hunts)).values_list("hunt", "site__code", "site__name")
    for pk, code, name in rows:
        found[pk].append(f"{code} {name}")
    return found


@dataclass(frozen=True)
class Dates:
    """The aoristic chart and how many finds are in it and are not."""

    chart: Chart | None
    dated: int
    undated: int

    @property
    def rows(self) -> list[dict[str, Any]]:
        """A row a bin: its years in words, what is expected and the band."""
        if self.chart is None:
            return []
        made = self.chart
        ends = zip(made.edges, made.edges[1:], strict=False)
        bins = zip(ends, made.expected, made.low, made.high, strict=True)
        return [
            {"words": _bin_words(first, last), "expected": expected, "low": low, "high": high}
            for (first, last), expected, low, high in bins
        ]


def _bin_words(first: int, last: int) -> str:
    """The years of a half-open bin, as people say them: 1200 to 1299."""
    begin, end = historical(first), historical(last - 1)
    return (
        year_words(begin)
        if begin == end
        else _("%(year_words)s to %(value)s") % {"year_words": year_words(begin), "value": year_words(end)}
    )


def dates(finds: FindQuerySet, asked: Mapping[str, Any]) -> Dates:
    """When the finds were made, each spread over its years; those without both years are counted aside."""
    both = finds.filter(year_from__isnull=False, year_to__isnull=False).order_by()
    rows = list(
        both.values("year_from", "year_to").annotate(n=Count("*")).values_list("year_from", "year_to", "n")
    )
    dated = sum(n for _rest, _rest, n in rows)
    undated = finds.count() - dated
    if not rows:
        return Dates(None, 0, undated)
    spans = [(astronomical(first or 1), astronomical(last or 1)) for first, last, _rest in rows]
    runs = RUNS if len(rows) <= MOST_SPANS else FEWER_RUNS
    return Dates(
        chart(spans, [n for _rest, _rest, n in rows], _edges(spans, asked), runs=runs), dated, undated
    )


def _edges(spans: list[tuple[int, int]], asked: Mapping[str, Any]) -> list[int]:
    """Bins that hold all spans, or the years that were asked for where they were."""
    clip = _clipper(asked)
    return edges_for([(clip(first), clip(last)) for first, last in spans])


def _clipper(asked: Mapping[str, Any]) -> Callable[[int], int]:
    low = astronomical(asked["year_from"]) if "year_from" in asked else None
    high = astronomical(asked["year_to"]) if "year_to" in asked else None

    def clip(year: int) -> int:
        year = year if low is None else max(year, low)
        return year if high is None else min(year, high)

    return clip
