"""Errands of the day of a hunt: holes, finds, photographs, roll call, sign-up, what went wrong, a table of finds."""

import csv
import re
from collections.abc import Iterator
from io import StringIO
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils.timezone import localtime, now

from finds.models import Find, FindImportDraft, FindPhoto
from hunts.models import Attendance, Hole, HolePhoto, Incident, SignUp
from hunts.states import HoleState, SignUpState
from people.audit import subject_of
from people.models import AuditEntry, Letter, User
from tests.faults.errands import Errand, Send, exactly_once, one_of, posted, taken, told_once
from tests.faults.pictures import digest, picture, upload
from tests.faults.stage import Stage
from tests.faults.wire import Asked, form

STAMP = "%Y-%m-%dT%H:%M"


def _moment() -> str:
    return localtime(now()).strftime(STAMP)


def hole(stage: Stage, *, stopped: bool = False) -> Errand:
    who, key, (lat, lon) = stage.member(), stage.key(), stage.place()
    depth, data = stage.rng.randrange(5, 40), picture(stage)
    fields = {
        "client_id": key, "site": stage.site.pk, "digger": who.pk, "dug_at": _moment(), "depth_cm": depth,
        "ground": "stubble", "outcome": "stopped" if stopped else "scrap", "position_method": "device",
        "device_lat": lat, "device_lon": lon, "device_accuracy_m": 4,
    }  # fmt: skip
    fields |= {"stopped_for": "ordnance"} if stopped else {}
    with_photo = not stopped and stage.rng.random() < 0.4
    files = {"photo_after": upload(data)} if with_photo else None
    asked = form(reverse("hunts:hole_log", args=[stage.hunt.pk]), files, **fields)

    def check(acknowledged: bool) -> Iterator[str]:
        rows = Hole.objects.filter(client_id=key)
        yield from exactly_once(f"hole {key}", rows, acknowledged)
        for row in rows:
            yield from told_once("hole.log", row)
            if row.depth_cm != depth:
                yield f"{row} has {row.depth_cm} cm and not {depth}"
            if with_photo:
                photos = HolePhoto.objects.filter(hole=row, original_sha256=digest(data))
                yield from exactly_once(f"photograph of {row}", photos, True)
            if stopped:
                stops = Incident.objects.filter(hole=row, kind="ordnance", locked=True)
                yield from exactly_once(f"the stop of {row}", stops, row.locked)

    return posted("stop" if stopped else "hole", who, asked, check)


def stop(stage: Stage) -> Errand:
    return hole(stage, stopped=True)


def find(stage: Stage, *, ring: bool = False) -> Errand:
    who, key, (lat, lon), data = stage.member(), stage.key(), stage.place(), picture(stage)
    fields: dict[str, Any] = {
        "client_id": key, "object_type": "finger ring" if ring else "buckle", "site": stage.site.pk,
        "finder": who.pk, "found_at": _moment(), "count": 1, "is_coin": "no", "certainty": "unknown",
        "position_text": f"{lat:.5f}, {lon:.5f}",
    }  # fmt: skip
    if ring:
        fields |= {"year_from": 1580, "year_to": 1640, "materials": ["silver"], "silver_percent": "91"}
    with_photo = stage.rng.random() < 0.4
    files = {"photos": upload(data)} if with_photo else None
    asked = form(reverse("finds:record", args=[stage.hunt.pk]), files, **fields)

    def check(acknowledged: bool) -> Iterator[str]:
        rows = Find.objects.filter(client_id=key)
        yield from exactly_once(f"find {key}", rows, acknowledged)
        for row in rows:
            yield from whole_find(row)
            if with_photo:
                photos = FindPhoto.objects.filter(find=row, original_sha256=digest(data))
                yield from exactly_once(f"photograph of {row}", photos, True)
            if ring and (row.cases.count() != 1 or not row.locked):
                yield f"{row} opened {row.cases.count()} cases and is {'' if row.locked else 'not '}locked"

    return posted("ring" if ring else "find", who, asked, check)


def ring(stage: Stage) -> Errand:
    return find(stage, ring=True)


def whole_find(row: Find) -> Iterator[str]:
    """A find comes with its line in the trail, its finder as first holder and a screening, or not at all."""
    yield from told_once("find.record", row)
    if not row.custody.filter(step=1).exists():
        yield f"{row} has no first holder"
    if not row.screenings.exists():
        yield f"{row} was never screened"


def photo(stage: Stage) -> Errand:
    """A photograph for a find or a hole that is there."""
    data = picture(stage)
    if stage.rng.random() < 0.5:
        row: Any = stage.rng.choice(stage.finds)
        who, rows = row.finder, FindPhoto.objects.filter(find=row)
        path, fields = reverse("finds:photo_add", args=[row.pk]), {"view": "face"}
    else:
        row = stage.rng.choice(stage.holes)
        who, rows = row.digger, HolePhoto.objects.filter(hole=row)
        path, fields = reverse("hunts:hole_photo_add", args=[row.pk]), {"stage": "after"}
    asked = form(path, {"photos": upload(data)}, **fields)
    return posted(
        "photograph", who, asked,
        lambda got: exactly_once(f"photograph of {row}", rows.filter(original_sha256=digest(data)), got),
    )  # fmt: skip


def fill(stage: Stage) -> list[Errand]:
    """Digger and leader fill the same hole at once."""
    row = stage.rng.choice(stage.holes)
    asked = form(reverse("hunts:hole_fill", args=[row.pk]))

    def check(acknowledged: bool) -> Iterator[str]:
        row.refresh_from_db()
        if acknowledged and row.state != HoleState.FILLED:
            yield f"{row} was filled and is {row.state}"
        if row.state == HoleState.FILLED:
            yield from told_once("hole.fill", row)

    return [posted("fill", who, asked, check) for who in (row.digger, stage.cast.leader)]


def sign_up(stage: Stage) -> list[Errand]:
    """More people than places, at once; one of them changes their mind."""
    names = stage.rng.sample(stage.cast.members, 5)
    return [_sign_up(stage, who) for who in names] + [_withdraw(stage, names[0])]


def _sign_up(stage: Stage, who: User) -> Errand:
    rows = SignUp.objects.filter(hunt=stage.coming, user=who)

    def check(acknowledged: bool) -> Iterator[str]:
        yield from exactly_once(f"the place of {who}", rows, acknowledged)
        for row in rows.filter(state=SignUpState.WAITING):
            if SignUp.objects.filter(hunt=stage.coming, state=SignUpState.IN).count() < stage.coming.capacity:
                yield f"{row} waits although there is a place"

    return posted("sign-up", who, form(reverse("hunts:sign_up", args=[stage.coming.pk])), check)


def _withdraw(stage: Stage, who: User) -> Errand:
    def check(acknowledged: bool) -> Iterator[str]:
        count = SignUp.objects.filter(hunt=stage.coming, state=SignUpState.IN).count()
        if count > stage.coming.capacity:
            yield f"{count} people hold {stage.coming.capacity} places"
        rows = [subject_of(row) for row in SignUp.objects.filter(hunt=stage.coming)]
        moved = AuditEntry.objects.filter(verb="hunt.promote", subject__in=rows).count()
        letters = Letter.objects.filter(subject__contains=f"{stage.coming.title},").count()
        if letters != moved:
            yield f"{moved} people moved up and {letters} letters tell of it"

    return posted("withdrawal", who, form(reverse("hunts:withdraw", args=[stage.coming.pk])), check)


def roll_call(stage: Stage) -> list[Errand]:
    """Leader and secretary sign the same person out at once."""
    who = stage.rng.choice(stage.cast.members[:4])
    row = Attendance.objects.get(sign_up__hunt=stage.hunt, sign_up__user=who)
    asked = form(reverse("hunts:sign_out_person", args=[row.sign_up_id]))

    def check(acknowledged: bool) -> Iterator[str]:
        row.refresh_from_db()
        if acknowledged and row.is_out:
            yield f"{who} was signed out and is still out"
        if not row.is_out:
            yield from told_once("hunt.sign_out", row.sign_up)

    return [posted("roll call", by, asked, check) for by in (stage.cast.leader, stage.cast.secretary)]


def incident(stage: Stage) -> Errand:
    who, key = stage.member(), stage.key()
    fields = {
        "client_id": key,
        "kind": "gate",
        "happened_at": _moment(),
        "words": "The gate was open.",
        "told": "",
    }
    asked = form(reverse("hunts:incident_add", args=[stage.hunt.pk]), **fields)

    def check(acknowledged: bool) -> Iterator[str]:
        rows = Incident.objects.filter(client_id=key)
        yield from exactly_once(f"incident {key}", rows, acknowledged)
        for row in rows:
            yield from told_once("incident.add", row)
            yield from exactly_once(f"the opening of {row}", row.events.filter(verb="opened"), True)

    return posted("incident", who, asked, check)


def table(stage: Stage) -> Errand:
    """A table of finds: sent, looked at, saved; all of its rows or none."""
    who, key, size = stage.cast.members[0], stage.key(), stage.rng.randrange(2, 6)
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(["hunt", "object", "own reference"])
    writer.writerows([stage.past.code, "nail", f"{key.hex[:8]}-{number}"] for number in range(size))
    file = SimpleUploadedFile("bags.csv", text.getvalue().encode(), "text/csv")
    first = form(reverse("finds:import_start"), {"file": file}, client_id=key, day_order="")

    def go(send: Send) -> bool:
        kept = send(first)
        if kept is None or not taken(kept):
            return False
        page = send(Asked("GET", kept.location))
        seal = re.search(rb'name="seal" value="(\w+)"', page.body) if page else None
        if seal is None:
            return False
        path = kept.location.rstrip("/") + "/save/"
        return taken(send(form(path, seal=seal.group(1).decode())))

    def check(acknowledged: bool) -> Iterator[str]:
        found = Find.objects.filter(hunt=stage.past, own_reference__startswith=key.hex[:8]).count()
        if found not in {0, size}:
            yield f"{found} of {size} rows of a table are there"
        for draft in FindImportDraft.objects.filter(client_id=key):
            if (draft.saved_at is not None) != (found == size):
                yield f"table {draft.pk} says {'' if draft.saved_at else 'not '}saved and {found} finds are there"
            yield from told_once("find.import", draft) if draft.saved_at else ()
        if acknowledged and not found:
            yield "a table that was acknowledged is not there"

    return Errand("table", who, go, check)


__all__ = [
    "fill", "find", "hole", "incident", "one_of", "photo", "ring", "roll_call", "sign_up", "stop", "table",
]  # fmt: skip
