"""Makers: each gives one valid, saved record and takes whatever a test wants different."""

from datetime import UTC, date, datetime, time, timedelta
from io import BytesIO
from itertools import count
from typing import Any
from uuid import uuid4

from django.core.files.base import ContentFile
from django.utils.timezone import localdate, now
from PIL import Image

from finds.actions import rescreen_batch, start_rescreening
from finds.models import Find, FindNumber, FindPhoto, Rescreening
from finds.squares import map_columns
from hunts.models import (
    Attendance,
    Hole,
    HolePhoto,
    Hunt,
    HuntSite,
    Incident,
    IncidentPhoto,
    PhotoDraft,
    SignUp,
)
from hunts.models.hunt import WHOLE_DAY, PastBasis
from hunts.states import HuntState, SignUpState
from people.models import Club, Insurance, Membership, RoleHeld, User
from people.rights import Role
from permissions.models import (
    Boundary,
    Consent,
    FieldState,
    Landholder,
    Permission,
    ProtectedCheck,
    ProtectedLayer,
    Site,
    SiteParty,
)
from permissions.models.site import Capacity, Tenure
from permissions.states import State
from reports.actions import send_agreement
from reports.agreements import draft_of, signers_of
from reports.models import SignatureRequest

_numbers = count(1)
PASSWORD = "ravensand-low-water-1362"
# About 4 ha at sea east of Holderness, square TA.
SQUARE = {
    "type": "MultiPolygon",
    "coordinates": [
        [[[0.150, 53.600], [0.153, 53.600], [0.153, 53.6018], [0.150, 53.6018], [0.150, 53.600]]]
    ],
}


def club(**fields: Any) -> Club:
    values = {"name": "Ravensand & District Search Club", "base_lon": 0.15, "base_lat": 53.6} | fields
    return Club.objects.update_or_create(pk=1, defaults=values)[0]


def person(*roles: Role, member: bool = True, insured: bool = True, **fields: Any) -> User:
    number = next(_numbers)
    values = {"email": f"person{number}@ravensand.example", "name": f"Person {number}"} | fields
    user = User.objects.create_user(password=PASSWORD, **values)
    today = localdate()
    if member:
        Membership.objects.create(user=user, starts=today - timedelta(400), ends=today + timedelta(400))
    if insured:
        Insurance.objects.create(
            user=user, starts=today - timedelta(400), ends=today + timedelta(400), insurer="Humber Mutual"
        )
    for role in roles:
        if role is not Role.MEMBER:
            RoleHeld.objects.create(user=user, role=role, starts=today - timedelta(300))
    return user


def landholder(**fields: Any) -> Landholder:
    number = next(_numbers)
    return Landholder.objects.create(**({"name": f"Landholder {number}", "phone": "01632 960000"} | fields))


def site(*, owner: Landholder | None = None, by: User | None = None, **fields: Any) -> Site:
    number = next(_numbers)
    values: dict[str, Any] = {
        "code": f"RS{number:03}",
        "name": f"Field {number}",
        "holding": "Saltmere Farm",
        "tenure": Tenure.OWNER_OCCUPIED,
        "boundary": SQUARE,
        "area_m2": 39_700.0,
        "min_lon": 0.150,
        "min_lat": 53.600,
        "max_lon": 0.153,
        "max_lat": 53.6018,
    }
    made = Site.objects.create(**(values | fields))
    drawn_by = by or person(Role.SECRETARY)
    Boundary.objects.create(
        site=made,
        geometry=made.boundary,
        area_m2=made.area_m2,
        drawn_at=now() - timedelta(200),
        drawn_by=drawn_by,
    )
    SiteParty.objects.create(site=made, landholder=owner or landholder(), capacity=Capacity.OWNER)
    FieldState.objects.create(
        site=made, on=localdate() - timedelta(3), crop="stubble", effect="open", said_by="owner"
    )
    ProtectedCheck.objects.create(
        site=made,
        checked_on=localdate() - timedelta(30),
        checked_by=drawn_by,
        result="clear",
        source="county map",
    )
    return made


def layer(*, by: User, **fields: Any) -> ProtectedLayer:
    """A layer of protected places round the club, still without a place."""
    number = next(_numbers)
    values: dict[str, Any] = {
        "name": f"Layer {number}",
        "kind": "scheduled monument",
        "source": "county council",
        "licence": "open",
        "data_on": localdate() - timedelta(30),
        "buffer_m": 20,
        "imported_at": now(),
        "imported_by": by,
        "min_lat": 53.0,
        "min_lon": -1.0,
        "max_lat": 54.0,
        "max_lon": 1.0,
    }
    return ProtectedLayer.objects.create(**(values | fields))


def permission(*sites: Site, consents: bool = True, **fields: Any) -> Permission:
    number = next(_numbers)
    today = localdate()
    values: dict[str, Any] = {
        "reference": f"P{number:03}",
        "title": f"Permission {number}",
        "state": State.GRANTED,
        "starts": today - timedelta(100),
        "ends": today + timedelta(265),
    }
    made = Permission.objects.create(**(values | fields))
    made.sites.set(sites)
    if consents:
        for party in SiteParty.objects.filter(
            site__in=sites, capacity__in=[Capacity.OWNER, Capacity.OCCUPIER]
        ):
            consent(made, party.landholder, capacity=party.capacity)
    return made


def consent(on: Permission, landholder: Landholder, **fields: Any) -> Consent:
    values: dict[str, Any] = {
        "capacity": Capacity.OWNER,
        "given_on": localdate() - timedelta(100),
        "starts": on.starts,
        "ends": on.ends,
        "evidence_kind": Consent.Evidence.SIGNED,
    }
    return Consent.objects.create(permission=on, landholder=landholder, **(values | fields))


def hunt(
    *sites: Site, leader: User | None = None, permission_: Permission | None = None, **fields: Any
) -> Hunt:
    number = next(_numbers)
    sites = sites or (site(),)
    values: dict[str, Any] = {
        "code": f"H{number:03}",
        "title": f"Hunt {number}",
        "on": localdate(),
        "starts_at": time(9),
        "ends_at": time(16),
        "capacity": 10,
        "state": HuntState.OPEN,
        "leader": leader or person(Role.LEADER),
    }
    if "permission" not in fields:
        values["permission"] = permission_ or permission(*sites)
    made = Hunt.objects.create(**(values | fields))
    for each in sites:
        HuntSite.objects.create(hunt=made, site=each, boundary=each.boundaries.all()[0])
    return made


def past_outing(*sites: Site, leader: User | None = None, **fields: Any) -> Hunt:
    """An outing from older records, under a permission by word."""
    values: dict[str, Any] = {
        "permission": None,
        "on": date(2014, 10, 5),
        "starts_at": WHOLE_DAY[0],
        "ends_at": WHOLE_DAY[1],
        "state": HuntState.CLOSED,
        "past_basis": PastBasis.WORD,
        "past_why": "notebook of 2014",
    }
    return hunt(*sites, leader=leader, **(values | fields))


def sign_up(hunt: Hunt, user: User, **fields: Any) -> SignUp:
    return SignUp.objects.create(
        **({"hunt": hunt, "user": user, "state": SignUpState.IN, "asked_at": now()} | fields)
    )


def attendance(hunt: Hunt, user: User, **fields: Any) -> Attendance:
    signed = SignUp.objects.filter(hunt=hunt, user=user).first() or sign_up(hunt, user)
    values = {"signed_in_at": now() - timedelta(hours=2), "signed_in_by": hunt.leader} | fields
    return Attendance.objects.create(sign_up=signed, **values)


def hole(hunt: Hunt, digger: User, **fields: Any) -> Hole:
    values: dict[str, Any] = {
        "site": hunt.sites.all()[0],
        "number": Hole.objects.filter(hunt=hunt).count() + 1,
        "dug_at": now() - timedelta(hours=1),
        "depth_cm": 15,
        "outcome": "find",
        "lon": 0.1512,
        "lat": 53.6007,
        "accuracy_m": 5.0,
        "position_method": "device",
    }
    return Hole.objects.create(hunt=hunt, digger=digger, **(values | fields))


def find(hunt: Hunt, finder: User, **fields: Any) -> Find:
    serial = next(_numbers)
    row = FindNumber.objects.create(year=localdate().year, serial=serial, given_at=now())
    values: dict[str, Any] = {
        "number_row": row,
        "number": f"F{row.year}-{serial:04}",
        "hunt": hunt,
        "site": hunt.sites.all()[0],
        "finder": finder,
        "found_at": now() - timedelta(hours=1),
        "object_type": "button",
        "recorded_at": now(),
        "recorded_by": finder,
        "lon": 0.1512,
        "lat": 53.6007,
        "accuracy_m": 5.0,
        "position_method": "device",
    }
    values |= fields
    return Find.objects.create(**(map_columns(values["lon"], values["lat"], values["site"].country) | values))


def rescreening(find: Find, *, by: User) -> Rescreening:
    """A rescreening that is over: `find` was judged by packs of before, and changed."""
    Find.objects.filter(pk=find.pk).update(judged_by="packs of before")
    run = start_rescreening(by=by, at=now())
    assert run is not None
    assert rescreen_batch(run.pk, by=by, at=now()) == 0
    run.refresh_from_db()
    return run


def photo_bytes(colour: str = "#8a5a2b") -> bytes:
    """A small JPEG."""
    out = BytesIO()
    Image.new("RGB", (64, 48), colour).save(out, "JPEG")
    return out.getvalue()


def find_photo(find: Find, **fields: Any) -> FindPhoto:
    number = next(_numbers)
    values = {
        "view": "face",
        "width": 64,
        "height": 48,
        "original_sha256": f"{number:064x}",
        "added_at": now(),
        "added_by": find.finder,
        "display": ContentFile(photo_bytes(), name=f"{number}.jpg"),
        "thumb": ContentFile(photo_bytes(), name=f"{number}t.jpg"),
    }
    return FindPhoto.objects.create(find=find, **(values | fields))


def photo_draft(by: User, **fields: Any) -> PhotoDraft:
    """A photograph whose form is not saved yet."""
    number = next(_numbers)
    values: dict[str, Any] = {
        "form_key": uuid4(),
        "made_at": now(),
        "expires_at": now() + timedelta(days=2),
        "sha256": f"{number:064x}",
        "display": photo_bytes(),
        "thumb": photo_bytes(),
        "width": 64,
        "height": 48,
        "kind": "JPEG",
    }
    return PhotoDraft.objects.create(made_by=by, **(values | fields))


def hole_photo(hole: Hole, **fields: Any) -> HolePhoto:
    return HolePhoto.objects.create(hole=hole, **({"stage": "after"} | _photo_columns(hole.digger) | fields))


def _photo_columns(by: User) -> dict[str, Any]:
    number = next(_numbers)
    return {
        "width": 64,
        "height": 48,
        "original_sha256": f"{number:064x}",
        "added_at": now(),
        "added_by": by,
        "display": ContentFile(photo_bytes(), name=f"{number}.jpg"),
        "thumb": ContentFile(photo_bytes(), name=f"{number}t.jpg"),
    }


def incident(hunt: Hunt, by: User, **fields: Any) -> Incident:
    values: dict[str, Any] = {"kind": "gate", "words": "The gate was off its hinge.", "happened_at": now()}
    return Incident.objects.create(hunt=hunt, recorded_by=by, **(values | fields))


def incident_photo(incident: Incident, **fields: Any) -> IncidentPhoto:
    columns = _photo_columns(incident.recorded_by) | fields
    return IncidentPhoto.objects.create(incident=incident, **columns)


def agreement(on: Permission, *, by: User, expires: timedelta = timedelta(30)) -> list[SignatureRequest]:
    """Send the permission's agreement to everybody who may sign; the requests in the order of the signers."""
    sent = send_agreement(
        on.pk,
        draft_of(on, localdate()),
        b"%PDF-1.7 test",
        signers_of(on, localdate()),
        by=by,
        at=now(),
        expires_at=now() + expires,
        address_of=lambda key: f"https://club.example/s/{key}/",
    )
    return list(sent.issue.requests.unrevoked().order_by("pk"))


def sign_requests(on: Permission, *, by: User) -> tuple[SignatureRequest, SignatureRequest]:
    """A request that can be signed, and one whose address has worked once."""
    live = agreement(on, by=by)[0]
    past = {"expires_at": now() - timedelta(1), "revoked_at": None, "capacity": Capacity.AGENT}
    expired = SignatureRequest.objects.create(
        issue=live.issue, landholder=live.landholder, made_at=now() - timedelta(60), made_by=by, **past
    )
    return live, expired


def moment(year: int, month: int, day: int, hour: int = 12, minute: int = 0) -> datetime:
    return datetime(year, month, day, hour, minute, tzinfo=UTC)


def days(number: int) -> date:
    """The date `number` days from today."""
    return localdate() + timedelta(number)
