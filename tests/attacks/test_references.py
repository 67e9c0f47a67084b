"""Other people's records by their number, on every address and by every verb.

Source of the kinds of attack: OWASP Web Security Testing Guide 4.2, WSTG-ATHZ-04 (insecure direct object references),
WSTG-CONF-06 (HTTP methods), WSTG-IDNT-04 (enumeration).
"""

import re
from dataclasses import replace
from typing import Any

import pytest
from django.urls import reverse

from tests.attacks.ground import APPS, Asked, Ground, body_of, is_open, undone, writes

UNKNOWN = 987_654_321
TURNED_AWAY = {302, 400, 401, 403, 404, 405, 410}
OWN_VERBS = {
    "field:photo": {"patch"},  # the one address with a verb of its own (docs/field.md)
    "people:password_reset_confirm": {"patch"},  # says to every verb that the link was used
    "mfa_download_recovery_codes": {"patch"},  # notes that its owner came for the codes, then refuses
}
# What any member may do to a record of a hunt that they can see; each is tried by name in tests/views.
OF_EVERY_MEMBER = {"hunts:sign_up", "doors:key_new", "doors:open_files", "doors:calendar"}
OF_EVERYBODY = {"people:mail_choices", "people:sessions_end"}  # their own


def refuses_other_verbs(asked: Asked, ground: Ground) -> list[str]:
    """The verbs among PUT, PATCH, DELETE and TRACE that an address takes from the club's own secretary."""
    client, taken = ground.client("secretary"), []
    for verb in {"put", "patch", "delete", "trace"} - OWN_VERBS.get(asked.row.name, set()):
        with undone(), writes() as told:
            status = getattr(client, verb)(asked.url).status_code
        if told or status not in TURNED_AWAY:
            taken.append(f"{verb} {asked.row.name}: {status} {told}")
    return taken


@pytest.mark.parametrize("app", APPS)
def test_no_address_takes_a_verb_that_it_does_not_name(app: str, ground: Ground) -> None:
    once = {asked.row.name: asked for asked in ground.of(app)}  # one that is read and sent to has two rows
    assert [told for asked in once.values() for told in refuses_other_verbs(asked, ground)] == []


@pytest.mark.long
@pytest.mark.parametrize("app", APPS)
def test_a_header_that_names_another_verb_is_not_heard(app: str, ground: Ground) -> None:
    """A program that reads X-HTTP-Method-Override lets a form do what only another verb may."""
    client, taken = ground.client("secretary"), []
    posts = {asked.row.name for asked in ground.of(app, "post")}
    for asked in ground.of(app, "get"):
        if asked.row.name not in posts and not asked.row.name.startswith(("mfa_", "account_")):
            with undone(), writes() as told:
                said = {"X-HTTP-Method-Override": "DELETE", "X-Method-Override": "DELETE"}
                client.post(asked.url, {"_method": "DELETE"}, headers=said)
            taken += [asked.row.name for sql in told if sql.lstrip().upper().startswith("DELETE")]
    assert taken == []


@pytest.mark.parametrize(
    "app", [app if app == "hunts" else pytest.param(app, marks=pytest.mark.long) for app in APPS]
)
def test_a_head_says_no_more_than_a_get(app: str, ground: Ground) -> None:
    told = []
    client = ground.client("other_member")
    for asked in ground.of(app, "get"):
        with undone():
            head = client.head(asked.url)
            got = client.get(asked.url)
            body_of(got)
            if body_of(head) or head.status_code not in {got.status_code, 405}:
                told.append(f"{asked.row.name}: {got.status_code} {head.status_code}")
    assert told == []


def changes_by(name: str, app: str, ground: Ground) -> list[str]:
    """The addresses of an app at which this attacker changed a record that is somebody else's."""
    client, changed = ground.client(name), []
    for asked in ground.of(app, "post"):
        if is_open(asked.row) or asked.row.name in OF_EVERYBODY:
            continue
        if name == "other_member" and asked.row.name in OF_EVERY_MEMBER:
            continue
        with undone(), writes() as told:
            status = client.post(asked.url, asked.data).status_code
        if told and status not in {403, 404}:
            changed.append(f"{asked.row.name}: {status}")
    return changed


@pytest.mark.parametrize("app", APPS)
@pytest.mark.parametrize(
    "name", ["lapsed", "other_member", pytest.param("anonymous", marks=pytest.mark.long)]
)
def test_nobody_changes_what_is_not_theirs(name: str, app: str, ground: Ground) -> None:
    assert changes_by(name, app, ground) == []


def hidden_find_is_missing(ground: Ground) -> None:
    """A locked find of somebody else, by its number, as a member who was not there."""
    url = reverse("finds:detail", args=[ground.world.others_locked.pk])
    assert ground.client("other_member").get(url).status_code == 404


def test_a_hidden_find_is_missing(ground: Ground) -> None:
    hidden_find_is_missing(ground)


def shape_of(answer: Any) -> tuple[int, str]:
    """Status and words, without what differs from one answer to the next."""
    text = body_of(answer).decode("utf-8", "replace")
    text = re.sub(r'(csrfmiddlewaretoken" value|nonce)="[^"]*"', r"\1", text)
    return answer.status_code, re.sub(r"\d+", "0", text)


def tells_apart(asked: Asked, name: str, ground: Ground) -> str | None:
    """Where a record that is hidden or refused gets another answer than one that never was."""
    client, row = ground.client(name), asked.row
    with undone():
        here = shape_of(getattr(client, row.method)(asked.url, asked.data))
    if here[0] not in {403, 404}:
        return None
    gone = reverse(row.name, kwargs=asked.kwargs | {"pk": UNKNOWN})
    with undone():
        nowhere = shape_of(getattr(client, row.method)(gone, asked.data))
    return None if here == nowhere else f"{row.method} {row.name}: {here[0]} {nowhere[0]}"


AS_MANY = [
    "other_member",
    *(pytest.param(name, marks=pytest.mark.long) for name in ("lapsed", "other_leader")),
]


def sees(app: str, name: str, ground: Ground) -> bool:
    """Does the attacker see the page of what the addresses of this app are about? Then a 403 says nothing new."""
    world = ground.world
    own = {"hunts": ("hunts:detail", world.hunt.pk), "finds": ("finds:detail", world.find.pk)}
    own["permissions"] = ("permissions:site_detail", world.site.pk)
    page, pk = own.get(app, ("finds:detail", UNKNOWN))
    return ground.client(name).get(reverse(page, args=[pk])).status_code == 200


@pytest.mark.parametrize("app", APPS)
@pytest.mark.parametrize("name", AS_MANY)
def test_hidden_refused_and_missing_are_one_answer(name: str, app: str, ground: Ground) -> None:
    rows = [asked for asked in ground.of(app) if "pk" in asked.kwargs]
    told = [each for asked in rows if (each := tells_apart(asked, name, ground))]
    if sees(app, name, ground):
        told = [each for each in told if not each.endswith("403 404")]
    assert told == []


@pytest.mark.parametrize("name", ["lapsed", "other_member", "other_leader"])
def test_a_locked_find_is_as_missing_as_none_at_every_address(name: str, ground: Ground) -> None:
    """Every address about the find that this member may see, asked with the number of one that they may not."""
    hidden = {"pk": ground.world.others_locked.pk}
    own = f"/finds/{ground.world.find.pk}/"
    about = [asked for asked in ground.of("finds") if asked.url.startswith(own)]
    assert len(about) > 12
    moved = [
        replace(
            asked, kwargs=asked.kwargs | hidden, url=reverse(asked.row.name, kwargs=asked.kwargs | hidden)
        )
        for asked in about
    ]
    assert [told for asked in moved if (told := tells_apart(asked, name, ground))] == []
    with undone():
        answers = {getattr(ground.client(name), a.row.method)(a.url, a.data).status_code for a in moved}
    assert answers <= {403, 404}
