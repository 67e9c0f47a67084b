"""GPX in: hostile, broken and odd files. GPX out: what a receiver must be able to read."""

import contextlib
import math
from datetime import UTC, datetime, timedelta, timezone
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geo.gpx import GpxError, Route, Waypoint, read_gpx, write_gpx

SPACE = "http://www.topografix.com/GPX/1/1"
HEAD = f'<?xml version="1.0" encoding="UTF-8"?><gpx xmlns="{SPACE}" version="1.1" creator="t">'
AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


def track(*points):
    return f"{HEAD}<trk><name>Beck Close</name><trkseg>{''.join(points)}</trkseg></trk></gpx>".encode()


def point(lat=53.71, lon=0.21, inside=""):
    return f'<trkpt lat="{lat}" lon="{lon}">{inside}</trkpt>'


def test_track_with_time_and_dilution():
    gpx = read_gpx(
        track(
            point(inside="<ele>2</ele><time>2026-03-01T10:00:00Z</time><hdop>1.5</hdop>"),
            point(53.72, 0.22, "<time>2026-03-01T11:00:01+01:00</time>"),
        )
    )
    (line,) = gpx.tracks
    assert line.name == "Beck Close"
    assert line.lon_lat.tolist() == [[0.21, 53.71], [0.22, 53.72]]
    assert np.diff(line.time_s).tolist() == [1.0]
    assert line.hdop[0] == 1.5
    assert math.isnan(line.hdop[1])
    assert gpx.notes == ()


def test_foreign_and_extension_elements_are_passed_over():
    inner = '<extensions><trkpt lat="1" lon="1"><time>2000-01-01T00:00:00Z</time></trkpt></extensions>'
    foreign = '<x:wpt xmlns:x="urn:other" lat="1" lon="1"/>'
    gpx = read_gpx(track(point(inside=inner), foreign, point()))
    assert gpx.point_count == 2
    assert np.isnan(gpx.tracks[0].time_s).all()


def test_two_tracks_in_one_file_stay_two():
    body = f"<trk><trkseg>{point()}</trkseg><trkseg/></trk><trk><trkseg>{point()}{point()}</trkseg></trk>"
    gpx = read_gpx(f"{HEAD}{body}</gpx>".encode())
    assert [len(line.lon_lat) for line in gpx.tracks] == [1, 2]


@pytest.mark.parametrize(
    "bomb",
    [
        '<!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
        '<!DOCTYPE gpx SYSTEM "file:///etc/hostname">',
        '<!DOCTYPE gpx [<!ENTITY % x SYSTEM "http://example.invalid/x"> %x;]>',
    ],
)
def test_document_types_are_refused(bomb):
    text = track(point()).decode().replace("?>", f"?>{bomb}", 1)
    with pytest.raises(GpxError, match="declares a document type"):
        read_gpx(text.encode())


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "The file is empty; export"),
        (b"  \n", "The file is empty"),
        (b"\x1f\x8b\x08\x00", "compressed; unpack it"),
        (b"PK\x03\x04", "compressed"),
        (b"<kml><Document/></kml>", "starts with <kml>, not with <gpx>"),
        (b'<gpx xmlns="urn:other"/>', "starts with <gpx>, not with"),
        (b"lat,lon\n53,0\n", r"Line 1 of the file cannot be read \(syntax error\)"),
        (track(point()).replace(b"</trkseg>", b"</trk>"), "mismatched tag"),
        (track(point(lat=95)), r'No point has a position on Earth \(first: lat="95"'),
        (track(point("&undefined;")), "undefined entity"),
        (b'<?xml version="1.0" encoding="shift_jis"?><gpx/>', "encoding that cannot be read"),
        (b'<?xml version="1.0" encoding="x-none"?><gpx/>', "unknown encoding|encoding that cannot be read"),
        (HEAD.encode() + b"<a>" * 60, "nests elements more than 40 deep"),
        (HEAD.encode() + b"<extensions>" + b"<a>" * 60, "nests elements more than 40 deep"),
    ],
)
def test_what_is_no_gpx_is_named(data, said):
    with pytest.raises(GpxError, match=said):
        read_gpx(data)


def test_bounds_on_bytes_and_points():
    with pytest.raises(GpxError, match="more than 2 points; give one day at a time"):
        read_gpx(track(*[point()] * 3), max_points=2)
    with pytest.raises(GpxError, match="MB; give at most"):
        read_gpx(track(point()), max_bytes=100)


@pytest.mark.parametrize("lat", ["91", "nan", "inf", "53_7", "", "north", "1e999"])
def test_a_bad_position_is_skipped_and_named(lat):
    gpx = read_gpx(track(point(), f'\n<trkpt lat="{lat}" lon="0.2"/>', point()))
    assert gpx.point_count == 2
    assert f'1 point without a position left out (first: lat="{lat}" lon="0.2" in line 2)' in gpx.notes[0]


def test_odd_times_are_said():
    gpx = read_gpx(
        track(point(inside="<time>yesterday</time>"), point(inside="<time>2026-03-01T10:00:00</time>"))
    )
    assert gpx.notes == (
        "1 time left out: not a date and time of day.",
        "1 time names no zone, read as UTC as GPX says.",
    )
    assert gpx.tracks[0].time_s[1] == AT.replace(hour=10, minute=0).timestamp()


def test_a_file_cut_short_keeps_what_it_held():
    whole = track(*[point(53.7 + i / 1e4) for i in range(50)])
    gpx = read_gpx(whole[: len(whole) * 2 // 3])
    assert 20 < gpx.point_count < 50
    assert "breaks off in line 1" in gpx.notes[0]


def test_ten_hours_at_one_hertz_fits():
    start = datetime(2026, 3, 1, 8, tzinfo=UTC)
    times = (f"<time>{(start + timedelta(seconds=s)).isoformat()}</time>" for s in range(36_000))
    gpx = read_gpx(track(*(point(53.7 + i / 1e6, 0.2, t) for i, t in enumerate(times))))
    assert gpx.point_count == 36_000


def test_the_clock_change_night_is_unambiguous_in_utc():
    inside = [f"<time>2026-10-25T0{h}:30:00Z</time>" for h in (0, 1, 2)]
    assert np.diff(read_gpx(track(*(point(inside=i) for i in inside))).tracks[0].time_s).tolist() == [
        3600,
        3600,
    ]


def test_written_routes_and_waypoints_read_back():
    route = Route("Lane 1 & 2 <north>", [(0.21, 53.71), (0.2123456789, 53.72)], "Wren Ackerly")
    data = write_gpx(
        creator="Ravensand & District",
        name="Beck Close",
        at=AT.astimezone(timezone(timedelta(hours=1))),
        routes=[route],
        waypoints=[Waypoint(0.2, 53.7, "Gate", "close it", AT)],
    )
    gpx = read_gpx(data)
    assert gpx.routes[0].name == route.name
    assert gpx.routes[0].lon_lat[1].tolist() == [0.2123457, 53.72]
    assert gpx.waypoints == (Waypoint(0.2, 53.7, "Gate", "close it", AT),)
    assert b"<time>2026-03-01T09:30:00Z</time>" in data


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"creator": " "}, "names its creator"),
        ({"at": datetime(2026, 3, 1)}, "has no time zone; give an aware time"),
        ({"routes": [Route("Lane 9", [(0, 53)])]}, "Route Lane 9 has 1 points; give at least 2"),
        ({"waypoints": [Waypoint(0.2, 95, "x")]}, "Longitude 0.2, latitude 95 is not on Earth"),
        ({"waypoints": [Waypoint(math.nan, 5, "x")]}, "is not on Earth"),
    ],
)
def test_writing_refuses_what_no_receiver_could_read(change, said):
    with pytest.raises(GpxError, match=said):
        write_gpx(**{"creator": "club", "name": "n", "at": AT, **change})


@given(name=st.text(max_size=60), lon=st.floats(-180, 180), lat=st.floats(-90, 90))
def test_any_text_and_place_stays_well_formed(name, lon, lat):
    data = write_gpx(creator="club", name=name, at=AT, waypoints=[Waypoint(lon, lat, name)])
    place = ET.fromstring(data).find("{*}wpt")
    assert -180 <= float(place.get("lon")) < 180
    assert abs(float(place.get("lat")) - lat) <= 6e-8


@given(noise=st.binary(max_size=300), at=st.integers(0, 300))
def test_whatever_the_bytes_the_answer_is_a_file_or_a_reason(noise, at):
    whole = track(point(), point(inside="<time>2026-03-01T10:00:00Z</time>"))
    for data in (noise, whole[:at] + noise + whole[at:]):
        with contextlib.suppress(GpxError):
            assert read_gpx(data).point_count >= 0
