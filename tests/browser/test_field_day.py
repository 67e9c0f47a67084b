"""A long day: six hundred records and two hundred photographs at once, past midnight, through a change of clocks."""

import base64
import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import pytest
from django.utils.timezone import now
from playwright.sync_api import Browser, expect

from tests.browser.field_storm import StormPhone, server_of
from tests.browser.server_process import ServerProcess
from tests.browser.storm_count import counted
from tests.browser.storm_records import Recorder, jpeg, new_key
from tests.browser.storm_scripts import MODULE

__all__ = ["server_of"]
pytestmark = pytest.mark.long
Server = Callable[..., ServerProcess]
RECORDS, PHOTOS = 600, 200
AN_HOUR_MS = 3_600_000

MAKE_ALL = """async ([rows, pictures]) => {
  const names = ["records", "photos", "pack", "session"];
  const [records, photos, pack, session] = await Promise.all(names.map(MODULE));
  const now = await pack.current();
  for (const row of rows) await records.add(row, now);
  for (const { name, owner, data } of pictures) {
    const bytes = Uint8Array.from(atob(data), (sign) => sign.charCodeAt(0));
    const file = new File([bytes], name, { type: "image/jpeg" });
    await photos.add(file, { of: "hole", owner, shows: "before" }, now.keep_until);
  }
  session.tell("saved");
}""".replace("MODULE", MODULE)
SHOWN = """async () => {
  const [records, dom] = await Promise.all(["records", "dom"].map(MODULE));
  return (await records.all()).map(({ at }) => dom.clockTime(at));
}""".replace("MODULE", MODULE)


def a_days_work(recorder: Recorder) -> tuple[list[Any], list[Any]]:
    """Holes, and photographs of some of them, written down as made."""
    rng, rows, pictures = recorder.rng, [], []
    for _ in range(RECORDS):
        key, depth = new_key(rng), rng.randint(5, 30)
        token = f"record {key}"
        data = {
            "position": recorder.place(),
            "text": "",
            "depth_cm": depth,
            "outcome": "scrap",
            "notes": token,
        }
        rows.append({"client_id": key, "kind": "hole", "data": data | {"ground": "stubble", "filled": True}})
        recorder.made.records[key] = ("hole", token)
    for row in rows[:PHOTOS]:
        data = jpeg(rng, 48)
        digest = hashlib.sha256(data).hexdigest()
        told = {"name": f"{digest[:20]}.jpg", "owner": row["client_id"]}
        pictures.append(told | {"data": base64.b64encode(data).decode()})
        recorder.made.photos[digest] = row["client_id"]
    return rows, pictures


def memory_mb(phone: StormPhone) -> float:
    """The page's JavaScript heap after a collection."""
    session = phone.context.new_cdp_session(phone.page)
    session.send("HeapProfiler.collectGarbage")
    session.send("Performance.enable")
    measured = session.send("Performance.getMetrics")["metrics"]
    session.detach()
    return next(each["value"] for each in measured if each["name"] == "JSHeapUsedSize") / 1e6


def test_six_hundred_records_and_two_hundred_photographs_go_out_while_the_page_stays_usable(
    chromium: Browser, server_of: Server
) -> None:
    server = server_of()
    phone = StormPhone(chromium, server, server.world["sessions"][0])
    recorder = Recorder(Random(1), server.world)
    before = memory_mb(phone)
    phone.context.set_offline(True)
    phone.ask(MAKE_ALL, list(a_days_work(recorder)))
    phone.reload()
    expect(phone.page.locator("[data-state]")).to_have_text(
        f"{RECORDS} stored on this phone, {PHOTOS} photographs to go"
    )
    phone.context.set_offline(False)
    opened = []
    while "All sent" not in (phone.page.locator("[data-state]").text_content() or ""):
        opened.append(open_ms(phone, "hole", "Hole"))
        opened.append(open_ms(phone, "queue", "On this phone"))
        open_ms(phone, "", "Field page")
        phone.wait(1_000)
        assert len(opened) < 600, "it takes for ever"
    found = counted(server, [phone], recorder.made)
    assert found == {"hole stored": RECORDS, "photograph stored": PHOTOS}
    print(f"memory {before:.1f} MB, then {memory_mb(phone):.1f} MB; a screen in at most {max(opened):.0f} ms")
    assert max(opened) < 10_000, "a thumb waits, but the page answers"
    phone.context.close()


def open_ms(phone: StormPhone, name: str, heading: str) -> float:
    """How long a screen takes to open while records are sent."""
    began = now()
    phone.page.evaluate("hash => { location.hash = hash; }", f"#/{name}")
    expect(phone.page.locator("main > h1")).to_have_text(heading, timeout=30_000)
    return (now() - began) / timedelta(milliseconds=1)


def stored_times(server: ServerProcess) -> list[datetime]:
    rows = server.rows("SELECT dug_at FROM hunts_hole ORDER BY dug_at")
    return [datetime.fromisoformat(row[0]).replace(tzinfo=UTC) for row in rows]


class Elsewhen:
    """A server and a phone that both think that it is `moment`, and go on together."""

    def __init__(self, chromium: Browser, server_of: Server, moment: datetime) -> None:
        ahead = moment - now()
        self.server = server_of(ahead_s=ahead.total_seconds())
        self.ms = round(ahead / timedelta(milliseconds=1))
        self.phone = StormPhone(chromium, self.server, self.server.world["sessions"][0], ahead_ms=self.ms)
        self.recorder = Recorder(Random(3), self.server.world)

    def later(self, ms: int) -> None:
        """Time goes on with the page open and the phone without a network; the server, too, is that much further."""
        self.ms += ms
        self.phone.ask("ms => localStorage.setItem('test-skew', ms)", self.ms)
        self.server.kill()
        self.server.ahead_s = self.ms / 1000
        self.server.start()


@pytest.mark.parametrize(
    ("moment", "local"),
    [
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), ["01:30", "01:30"]),
        (datetime(2027, 3, 28, 0, 30, tzinfo=UTC), ["00:30", "02:30"]),
    ],
    ids=["clocks go back", "clocks go forward"],
)
def test_through_a_change_of_the_clocks_each_hole_keeps_its_own_hour(
    chromium: Browser, server_of: Server, moment: datetime, local: list[str]
) -> None:
    """Summer time begins and ends at 1 a.m. Greenwich time. Source: Summer Time Act 1972 as the Summer Time Order 2002
    has it (from memory), and the browser's own copy of the IANA time zone database."""
    there = Elsewhen(chromium, server_of, moment)
    there.phone.context.set_offline(True)
    there.recorder.hole(there.phone)
    there.later(AN_HOUR_MS)
    there.recorder.hole(there.phone)
    shown = there.phone.ask(SHOWN)
    assert [words[:2] for words in shown] == [words[:2] for words in local]
    there.phone.context.set_offline(False)
    there.phone.settle()
    first, second = stored_times(there.server)
    assert abs(first - moment) < timedelta(minutes=4)
    assert abs(second - first - timedelta(hours=1)) < timedelta(minutes=2)


def test_a_page_open_across_midnight_dates_each_hole_by_its_own_day(
    chromium: Browser, server_of: Server
) -> None:
    """What was dug on the hunt's day is stored as of that day; what came after midnight is parked and says why."""
    moment = datetime(2026, 11, 21, 23, 50, tzinfo=UTC)
    there = Elsewhen(chromium, server_of, moment)
    there.phone.context.set_offline(True)
    day = there.recorder.hole(there.phone)
    there.later(AN_HOUR_MS)
    night = there.recorder.hole(there.phone)
    there.phone.context.set_offline(False)
    said = there.phone.settle()
    (first,) = stored_times(there.server)
    assert abs(first - moment) < timedelta(minutes=4)
    assert (said["records"][day], said["records"][night]) == ("sent", "parked")
    assert counted(there.server, [there.phone], there.recorder.made) == {
        "hole stored": 1,
        "hole parked (time)": 1,
    }
    assert said["why"][0]
