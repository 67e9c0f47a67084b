"""The two pages of ground covered, put together for one reader: a hunt's and a site's.

Members see their own track and the shares. Whose track covered what is for the leader of that hunt and those who
see every hole: a track stops where somebody dug, and would point at a locked find.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, Q

from geo.coverage import union
from geo.coverage_store import unpack
from hunts.actions.ground import attended
from hunts.cover_page import (
    Covered,
    covered_of,
    covers_since,
    figures_of,
    gap_rows,
    is_current,
)
from hunts.ground import SiteGround, area_of, ground_of, grounds_of
from hunts.ground_maps import collection, covered_features, site_features, walk_features
from hunts.models import Hole, Hunt, Track, TrackCover
from hunts.models.hole import Outcome
from hunts.pace import say_pace
from hunts.plan_page import plan_of, settings_of
from hunts.states import HuntState
from hunts.sweep import Settings, SweepError
from people.models import User
from people.rights import Right
from permissions.models import FieldState, Site
from tongue import figure


def sees_all_tracks(hunt: Hunt, user: User) -> bool:
    """The leader of this hunt, and those who see every hole: the same as Track.objects.visible_to."""
    return hunt.leader_id == user.pk or user.holds(Right.SEE_ALL_HOLES)


def sees_site_cover(user: User) -> bool:
    """Planners need the gaps of all hunts together; they do not learn whose track or which day."""
    return user.holds(Right.PLAN_HUNT) or user.holds(Right.SEE_ALL_HOLES)


@dataclass(frozen=True)
class Chosen:
    """The tracks a reader looks at on one hunt, and their covers by site."""

    tracks: list[Track]
    everybody: list[Track]
    covers: dict[int, list[TrackCover]]
    all_covers: dict[int, list[TrackCover]]


def chosen_of(hunt: Hunt, user: User, person: str) -> Chosen:
    """The tracks of `person` (a primary key; empty for all) as far as the reader may see them."""
    seen = list(
        Track.objects.visible_to(user)
        .filter(hunt=hunt)
        .select_related("user")
        .defer("trace")
        .order_by("user__name")
    )
    tracks = [track for track in seen if str(track.user_id) == person] if person else seen
    ids = {track.pk for track in tracks}
    rows = TrackCover.objects.filter(track__hunt=hunt).select_related("track")
    covers, all_covers = defaultdict(list), defaultdict(list)
    for row in rows.defer("track__trace", "track__line", "track__notes"):
        all_covers[row.site_id].append(row)
        if row.track_id in ids:
            covers[row.site_id].append(row)
    return Chosen(tracks, seen, covers, all_covers)


def hunt_coverage_page(hunt: Hunt, user: User, person: str) -> dict[str, Any]:
    """Shares of each site, the tracks one may see, gaps for those who see all of them."""
    grounds, faults = grounds_of(hunt)
    chosen, sees_all = chosen_of(hunt, user, person), sees_all_tracks(hunt, user)
    features, blocks, drawn = [], [], defaultdict[int, float](float)
    for ground in grounds:
        whole = covered_of(ground, chosen.all_covers[ground.site.pk])
        shown = covered_of(ground, chosen.covers[ground.site.pk]) if person or not sees_all else whole
        gaps = whole.gaps if sees_all and not person and chosen.tracks else []
        features += site_features(ground)
        if chosen.tracks and shown.grid:
            features += covered_features(ground, shown.grid, (shown.counts > 0) & shown.site, gaps)
        _add_drawn(drawn, shown, chosen.covers[ground.site.pk])
        mine = figures_of(shown) if shown is not whole and chosen.tracks else None
        blocks.append({"all": figures_of(whole), "mine": mine, "gaps": gap_rows(whole, gaps)})
    return {
        "hunt": hunt,
        "blocks": blocks,
        "faults": faults,
        "sees_all": sees_all,
        "person": person,
        "people": _people(chosen.everybody),
        "rows": _track_rows(hunt, chosen.tracks, drawn, user),
        "track_total": hunt.tracks.count(),
        "may_add": may_add_track(hunt, user),
        "features": collection([*features, *walk_features(chosen.tracks)]),
    }


def may_add_track(hunt: Hunt, user: User) -> bool:
    """Is this the time for tracks, and may this person log anything? The action asks for a place as well."""
    return user.holds(Right.LOG_HOLES) and HuntState(hunt.state) in {HuntState.RUNNING, HuntState.CLOSED}


def _people(tracks: Iterable[Track]) -> list[tuple[int, str]]:
    return list({track.user_id: (track.user_id, track.user.name) for track in tracks}.values())


def _add_drawn(drawn: dict[int, float], shown: Covered, rows: Iterable[TrackCover]) -> None:
    """Square metres each track covers of this site."""
    if shown.grid is None:
        return
    for row in rows:
        if is_current(row, shown.ground):
            cells = union(shown.grid, [unpack(bytes(row.mask))]) & shown.site
            drawn[row.track_id] += shown.grid.area_m2(cells)


def _track_rows(
    hunt: Hunt, tracks: Sequence[Track], drawn: dict[int, float], user: User
) -> list[dict[str, Any]]:
    plan = plan_of(hunt)
    return [
        {
            "track": track,
            "km": figure(f"{track.length_m / 1000:.1f}"),
            "minutes": round(track.seconds / 60) if track.seconds else None,
            "drawn_m2": drawn[track.pk],
            "pace": _pace(track, settings_of(plan)) if plan.pk else "",
            "strayed": bool(track.outside_points or track.no_go_points),
            "may_remove": track.user_id == user.pk or user.holds(Right.RUN_HUNT),
        }
        for track in tracks
    ]


def _pace(track: Track, settings: Settings) -> str:
    """Walking pace against the plan; nothing without times."""
    try:
        return say_pace(settings, track.pace_m_s) if track.pace_m_s else ""
    except SweepError as error:
        return str(error)


def cultivated_on(site: Site) -> date | None:
    """The last day on which the field was seen freshly cultivated: what was swept before counts as new ground."""
    return (
        FieldState.objects.filter(site=site, cultivated=True)
        .order_by("-on")
        .values_list("on", flat=True)
        .first()
    )


def site_cover(site: Site) -> tuple[Covered | None, date | None, list[str]]:
    """All tracks on the site since it was last cultivated, that day, and what stands in the way."""
    grounds, faults = ground_of(site)
    since = cultivated_on(site)
    return (covered_of(grounds[0], covers_since(site.pk, since)) if grounds else None), since, faults


def site_coverage_page(site: Site, user: User) -> dict[str, Any]:
    """The site's share for everybody who may see the site; map and gaps for planners."""
    covered, since, faults = site_cover(site)
    sees_map = sees_site_cover(user)
    context: dict[str, Any] = {
        "site": site,
        "since": since,
        "faults": faults,
        "sees_map": sees_map,
        "figures": figures_of(covered) if covered else None,
        "hunts": searched(site, user, since),
    }
    if covered is None or not sees_map:
        return context
    gaps = covered.gaps
    return context | {
        "gaps": gap_rows(covered, gaps),
        "features": collection(_site_map(covered.ground, covered, gaps)),
    }


def _site_map(ground: SiteGround, covered: Covered, gaps: Any) -> list[dict[str, Any]]:
    if covered.grid is None:
        return site_features(ground)
    cells = (covered.counts > 0) & covered.site
    return [*site_features(ground), *covered_features(ground, covered.grid, cells, gaps)]


def searched(site: Site, user: User, since: date | None) -> Any:
    """Closed hunts on the site with people, hours and what was kept: blank ones are results too."""
    here = Q(holes__site=site)
    rows = Hunt.objects.visible_to(user).filter(
        sites=site, state=HuntState.CLOSED, blank_ground__isnull=False
    )
    rows = rows if since is None else rows.filter(on__gte=since)
    counts = {
        "holes_here": Count("holes", filter=here, distinct=True),
        "kept_here": Count("holes", filter=here & Q(holes__outcome=Outcome.FIND), distinct=True),
    }
    return rows.select_related("blank_ground").annotate(**counts).order_by("-on", "-pk")


def effort_of(hunt: Hunt) -> dict[str, Any] | None:
    """What was put into a closed hunt, and whether anything was kept; None until it is closed."""
    kept = getattr(hunt, "blank_ground", None)
    if kept is None:
        return None
    finds = Hole.objects.filter(hunt=hunt, outcome=Outcome.FIND).count()
    return {"kept": kept, "hours": round(kept.hours, 1), "finds": finds, "blank": finds == 0}


def put_in(hunt: Hunt) -> dict[str, Any]:
    """What closing will keep: people, their hours so far, and the ground, found or not."""
    people, hours = attended(hunt)
    return {"people": people, "hours": round(hours, 1), "area_m2": area_of(grounds_of(hunt)[0])}
