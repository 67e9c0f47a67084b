"""A walk is kept once, whoever saved it how often; it shows who strayed and what was covered."""

from datetime import timedelta
from io import StringIO
from typing import Any
from uuid import uuid4

import numpy as np
import pytest
import shapely
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.utils.timezone import now

from geo.errors import GeoError
from geo.gpx import read_gpx
from geo.local import Local
from hunts import actions
from hunts.cover_page import covered_of
from hunts.errors import TrackError
from hunts.ground import grounds_of
from hunts.models import Hunt, Track, TrackCover
from hunts.track_intake import PreparedTrack, prepare_gpx
from people.models import AuditEntry, User
from permissions.models import NoGoArea
from tests import ground, make


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    hunt = make.hunt(leader=leader, state="running", started_at=now())
    make.attendance(hunt, member)
    return hunt


def prepared(hunt: Hunt, place_m: Any = None, **kwargs: Any) -> PreparedTrack:
    walk = ground.serpentine() if place_m is None else place_m
    file = ground.gpx(walk, **({"start": ground.morning(hunt)} | kwargs))
    return prepare_gpx(hunt, file, swath_m=1.5, accuracy_m=5)


def add(hunt: Hunt, by: User, track: PreparedTrack, **kwargs: Any) -> Any:
    return actions.add_track(hunt.pk, track, by=by, at=now(), **({"client_id": uuid4()} | kwargs))


def share(hunt: Hunt) -> float:
    (site,) = grounds_of(hunt)[0]
    figures = covered_of(site, TrackCover.objects.select_related("track")).figures
    assert figures is not None
    return figures.drawn_share


def test_a_track_covers_what_lies_within_half_a_swath(hunt: Hunt, member: User) -> None:
    """Against shapely's buffer of the same line on the same ground, the independent truth."""
    walk = ground.serpentine()
    add(hunt, member, prepared(hunt, walk))
    (site,) = grounds_of(hunt)[0]
    truth = shapely.LineString(walk).buffer(0.75).area / site.area_m2
    assert share(hunt) == pytest.approx(truth, rel=0.01)


def test_the_length_is_that_of_the_walk(hunt: Hunt, member: User) -> None:
    track = add(hunt, member, prepared(hunt)).track
    assert track.length_m == pytest.approx(10 * 160 + 9 * 3, rel=0.06)  # corners are smoothed
    assert track.pace_m_s == pytest.approx(0.5, rel=0.06)
    assert track.covers.get().length_m == pytest.approx(track.length_m, rel=0.01)


def test_the_same_file_twice_is_one_track(hunt: Hunt, member: User) -> None:
    first, again = add(hunt, member, prepared(hunt)), add(hunt, member, prepared(hunt))
    assert (first.outcome, again.outcome, again.track) == ("new", "known", first.track)
    assert Track.objects.count() == 1


def test_the_same_form_twice_is_one_track(hunt: Hunt, member: User) -> None:
    once = uuid4()
    add(hunt, member, prepared(hunt), client_id=once)
    other = prepared(hunt, ground.serpentine(y=40), start=ground.morning(hunt, 12))
    assert add(hunt, member, other, client_id=once).outcome == "known"
    assert Track.objects.count() == 1


def test_the_same_walk_in_another_file_is_one_track(hunt: Hunt, member: User) -> None:
    """Every second point, moved by a few centimetres: another program's export of one walk."""
    walk = ground.serpentine()
    add(hunt, member, prepared(hunt, walk))
    thinned = prepared(hunt, walk[::2] + 0.05, every_s=4, name="copy")
    assert add(hunt, member, thinned).outcome == "known"
    assert Track.objects.count() == 1


def test_the_longer_record_of_a_walk_takes_its_place(hunt: Hunt, member: User) -> None:
    walk = ground.serpentine()
    short = add(hunt, member, prepared(hunt, walk[:600])).track
    before = share(hunt)
    whole = add(hunt, member, prepared(hunt, walk))
    assert (whole.outcome, whole.track.pk) == ("longer", short.pk)
    assert share(hunt) > 2 * before


def test_two_people_side_by_side_are_two_tracks(hunt: Hunt, member: User, leader: User) -> None:
    add(hunt, member, prepared(hunt))
    assert add(hunt, leader, prepared(hunt, ground.serpentine(y=20))).outcome == "new"
    assert Track.objects.count() == 2


def test_a_walk_kept_for_another_is_not_taken_over(hunt: Hunt, member: User, leader: User) -> None:
    add(hunt, member, prepared(hunt))
    with pytest.raises(TrackError, match="somebody else"):
        add(hunt, leader, prepared(hunt))
    assert Track.objects.get().user == member


def test_a_leader_adds_for_somebody_who_came(hunt: Hunt, member: User, leader: User, stranger: User) -> None:
    assert add(hunt, leader, prepared(hunt), person=member).track.user == member
    with pytest.raises(TrackError, match="Stan Drifter holds no place"):
        add(hunt, leader, prepared(hunt, ground.serpentine(y=20)), person=stranger)


def test_a_member_adds_only_their_own(hunt: Hunt, member: User, leader: User) -> None:
    with pytest.raises(PermissionDenied):
        add(hunt, member, prepared(hunt), person=leader)


def test_somebody_without_a_place_adds_nothing(hunt: Hunt) -> None:
    with pytest.raises(TrackError, match="no place"):
        add(hunt, make.person(), prepared(hunt))
    assert not Track.objects.exists()


def test_tracks_wait_until_the_hunt_runs(leader: User) -> None:
    waiting = make.hunt(leader=leader)
    with pytest.raises(TrackError, match="is open; tracks are added once it runs"):
        add(waiting, leader, prepared(waiting))


def test_the_way_home_is_not_kept(hunt: Hunt, member: User) -> None:
    """Points 200 km away are left out, said, and not in the database."""
    walk = ground.serpentine()
    home = walk[:50] + np.array([200_000.0, 0.0])
    track = add(hunt, member, prepared(hunt, np.concatenate([walk, home]))).track
    assert track.points == len(walk)
    assert any("50 points lie more than 10 m beyond" in note for note in track.notes)


def test_points_beyond_the_boundary_warn_only_past_the_accuracy(hunt: Hunt, member: User) -> None:
    edge = ground.LOCAL.forward(0.153, 53.6009)[0].item()
    along = np.column_stack([np.full(60, edge + 3.0), np.arange(60.0)])
    assert add(hunt, member, prepared(hunt, along)).track.outside_points == 0
    far = np.column_stack([np.full(60, edge + 8.0), np.arange(60.0) - 80])
    track = add(hunt, member, prepared(hunt, far, start=ground.morning(hunt, 13))).track
    assert track.outside_points == 60
    assert any("beyond the boundary by more than the accuracy of 5 m" in note for note in track.notes)


def test_points_in_no_go_ground_warn(hunt: Hunt, member: User) -> None:
    box = shapely.geometry.mapping(ground.LOCAL.to_degrees(shapely.box(-40, -40, 40, 40)))
    NoGoArea.objects.create(site=hunt.sites.get(), reason="setts", geometry=box, buffer_m=2)
    track = add(hunt, member, prepared(hunt, ground.serpentine(6, 60, 5, -30, -20))).track
    assert track.no_go_points > 300
    assert any("in no-go ground" in note for note in track.notes)


def test_two_tracks_in_one_file_are_one_walk(hunt: Hunt) -> None:
    walk, start = ground.serpentine(), ground.morning(hunt)
    parts = [
        ground.track_xml(walk[:500], start=start),
        ground.track_xml(walk[600:], start=start + timedelta(hours=1)),
    ]
    both = prepare_gpx(hunt, read_gpx(ground.wrapped(*parts)), swath_m=1.5, accuracy_m=5)
    assert both.columns["length_m"] == pytest.approx(len(walk) - 100, rel=0.06)


def test_one_walk_twice_in_one_file_counts_once(hunt: Hunt) -> None:
    copy = ground.track_xml(ground.serpentine(), start=ground.morning(hunt))
    both = prepare_gpx(hunt, read_gpx(ground.wrapped(copy, copy)), swath_m=1.5, accuracy_m=5)
    assert both.columns["length_m"] == pytest.approx(1627, rel=0.06)
    assert "The file holds 1 part twice; each counts once." in both.columns["notes"]


def test_two_walks_at_the_same_time_are_not_one_persons(hunt: Hunt) -> None:
    start = ground.morning(hunt)
    one = ground.track_xml(ground.serpentine(), start=start, name="Mo")
    two = ground.track_xml(ground.serpentine(y=20), start=start, name="Len")
    with pytest.raises(GeoError, match="“Mo” and “Len” in this file run at the same time"):
        prepare_gpx(hunt, read_gpx(ground.wrapped(one, two)), swath_m=1.5, accuracy_m=5)


def test_a_track_without_times_is_kept_and_says_so(hunt: Hunt, member: User) -> None:
    track = add(hunt, member, prepared(hunt, start=None)).track
    assert track.seconds is None
    assert track.pace_m_s is None
    assert any("no times" in note for note in track.notes)
    assert add(hunt, member, prepared(hunt, start=None)).outcome == "known"


def test_a_track_of_another_year_names_both_days(hunt: Hunt) -> None:
    start = ground.morning(hunt).replace(year=2019, month=3, day=5)
    with pytest.raises(GeoError, match="of 05 March 2019, not of the hunt's day"):
        prepared(hunt, start=start)


def test_a_week_counter_that_ran_over_is_put_right(hunt: Hunt, member: User) -> None:
    """10 bits of weeks: IS-GPS-200, section 20.3.3.3.1.1."""
    track = add(hunt, member, prepared(hunt, start=ground.morning(hunt) - timedelta(weeks=1024))).track
    assert any("week counter" in note for note in track.notes)


def test_a_track_of_another_field_is_refused(hunt: Hunt) -> None:
    with pytest.raises(GeoError, match="Nothing in this track lies on this ground and day"):
        prepared(hunt, local=Local(0.3, 53.7))


@pytest.mark.once
def test_ten_hours_at_one_point_a_second(hunt: Hunt, member: User) -> None:
    """36,000 points are cleaned, drawn and kept in a row of less than 300 kB."""
    walk = np.repeat(ground.serpentine(60, 160, 2.5), 4, axis=0)[:36_000]
    track = add(hunt, member, prepared(hunt, walk, start=ground.morning(hunt, 6), every_s=1)).track
    assert track.points == len(walk) > 30_000
    assert len(track.trace) + len(str(track.line)) + len(track.covers.get().mask) < 300_000


def test_two_fields_of_a_hunt_each_have_their_cover(leader: User) -> None:
    west = make.site()
    shape = ground.LOCAL.to_degrees(shapely.box(120, -90, 250, 90))
    east_shape = {"type": "MultiPolygon", "coordinates": [shapely.geometry.mapping(shape)["coordinates"]]}
    east = make.site(boundary=east_shape, area_m2=25_200.0)
    both = make.hunt(west, east, leader=leader, state="running", started_at=now())
    across = ground.serpentine(5, 300, 3, -80, -40)
    track = add(both, leader, prepared(both, across)).track
    lengths = {cover.site_id: cover.length_m for cover in track.covers.all()}
    assert set(lengths) == {west.pk, east.pk}
    assert sum(lengths.values()) < track.length_m  # some metres lie on the strip between the fields
    assert track.outside_points > 0


def test_taking_a_track_away_is_the_walkers_choice(hunt: Hunt, member: User, leader: User) -> None:
    mine = add(hunt, member, prepared(hunt)).track
    theirs = add(hunt, leader, prepared(hunt, ground.serpentine(y=20))).track
    with pytest.raises(PermissionDenied):
        actions.remove_track(theirs.pk, by=member, at=now())
    actions.remove_track(mine.pk, by=member, at=now())
    assert list(Track.objects.all()) == [theirs]
    assert AuditEntry.objects.filter(verb="track.remove").count() == 1


def test_the_audit_trail_holds_no_place(hunt: Hunt, member: User) -> None:
    add(hunt, member, prepared(hunt))
    line = AuditEntry.objects.get(verb="track.add")
    assert set(line.changes) == {"hunt", "outcome", "points"}


def test_old_masks_are_left_out_until_they_are_drawn_again(hunt: Hunt, member: User) -> None:
    add(hunt, member, prepared(hunt))
    (site,) = grounds_of(hunt)[0]
    before = share(hunt)
    TrackCover.objects.update(version=0)
    old = covered_of(site, TrackCover.objects.select_related("track"))
    assert old.stale == 1
    assert not old.counts.any()
    call_command("redraw_tracks", stdout=StringIO())
    assert share(hunt) == pytest.approx(before, rel=0.01)  # points are kept to 0.1 m
    assert Track.objects.get().sha256
    assert AuditEntry.objects.filter(verb="track.redraw", via="redraw_tracks").count() == 1
    call_command("redraw_tracks", stdout=StringIO())
    assert AuditEntry.objects.filter(verb="track.redraw").count() == 1
