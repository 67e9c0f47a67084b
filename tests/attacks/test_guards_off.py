"""The attacks have teeth: with a guard taken off, the attack that it is there for gets through and its check fails.

Each line names the guard, takes it off, and runs the same function that the attack's own test runs.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.core import signing
from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.models import Q
from django.middleware.csrf import CsrfViewMiddleware

from finds.models import Find
from people.models import User
from people.sensitivity import Precision
from tests.attacks import (
    test_extra_fields,
    test_files_in,
    test_forged_forms,
    test_inference,
    test_injection,
    test_links,
    test_paths,
    test_questions,
    test_references,
    test_sessions,
    test_uploads,
)
from tests.attacks.ground import Ground
from web.middleware import PrivateByDefaultMiddleware
from web.photos import TakenPhoto

Patch = pytest.MonkeyPatch


@dataclass(frozen=True)
class Guard:
    off: Callable[[Patch], None]
    attack: Callable[[Ground], None]


def kept_as_sent(data: bytes, *_: Any) -> TakenPhoto:
    return TakenPhoto(data, data, 120, 80, None, None, None, None, "0" * 64, "JPEG")


def forged(ground: Ground) -> None:
    row = next(row for row in test_forged_forms.POSTS if row.name == "people:role_give")
    assert test_forged_forms.forged(row, ground) == []


def climbs(ground: Ground) -> None:
    data = test_files_in.ZIPS["a name that climbs"]
    test_files_in.is_turned_away("permissions:import_sites", "f.kmz", data, ground)


def bomb(ground: Ground) -> None:
    test_files_in.is_turned_away("permissions:import_sites", "f.kmz", test_files_in.ZIPS["a bomb"], ground)


def entity(ground: Ground) -> None:
    name, data = test_files_in.HOSTILE["KML with a long entity many times"]
    test_files_in.is_turned_away("permissions:import_sites", name, data, ground)


def markup(ground: Ground) -> None:
    test_injection.poison(test_injection.PAYLOAD)
    asked = next(each for each in ground.of("finds", "get") if each.row.name == "finds:detail")
    assert test_injection.runs(asked, ground.client("secretary")) == []


def altered(ground: Ground) -> None:
    key = test_links.ALTERED["one letter of the signature"](test_links.key_for("landholder", ground))
    assert test_links.opened("landholder", key, ground) == test_links.OVER


def raised(ground: Ground) -> None:
    test_extra_fields.does_not_rise("member", "people:role_give", {"role": "secretary"}, ground)


def headers(ground: Ground) -> None:
    assert test_paths.guarded(ground.client("secretary").get("/")) == []


def squares(ground: Ground) -> None:
    test_inference.no_answer_tells_places_of_one_square_apart(ground, "other_member", 2)


def head(ground: Ground) -> None:
    test_injection.stays_one_line(test_injection.HEADERS[0], ground)


def hidden(ground: Ground) -> None:
    test_uploads.hidden_part_is_gone(test_uploads.HIDDEN["a JPEG with a web page behind it"], ground)


def off_csrf(patch: Patch) -> None:
    patch.setattr(CsrfViewMiddleware, "process_view", lambda *args, **kwargs: None)


def off_rows(patch: Patch) -> None:
    patch.setattr(type(Find.objects.all()), "visible_to", lambda self, user: self)
    patch.setattr(type(Find.objects), "visible_to", lambda self, user: self.all())


def off_signature(patch: Patch) -> None:
    patch.setattr(signing.Signer, "unsign", lambda self, value: value.rpartition(":")[0])


def off_headers(patch: Patch) -> None:
    patch.setattr(PrivateByDefaultMiddleware, "__call__", lambda self, request: self.get_response(request))


GUARDS: dict[str, Guard] = {
    "the token of a form": Guard(off_csrf, forged),
    "rows that are visible": Guard(off_rows, test_references.hidden_find_is_missing),
    "rights": Guard(lambda patch: patch.setattr(User, "holds", lambda self, right: True), raised),
    "photographs are drawn anew": Guard(
        lambda patch: patch.setattr("web.photos._convert", kept_as_sent), hidden
    ),
    "formulas": Guard(
        lambda patch: patch.setattr("web.csv_safe.safe_text", str),
        lambda ground: test_injection.is_plain_cell("=1+1", ground),
    ),
    "document types": Guard(
        lambda patch: patch.setattr("geo.files.xml_guard._refuse", lambda *_: None), entity
    ),
    "names in a zip": Guard(
        lambda patch: patch.setattr("geo.files.archive._is_wanted", lambda _: True), climbs
    ),
    "the limit of a zip": Guard(lambda patch: None, bomb),  # 6 MB under the limits as they are: taken
    "the signature of a link": Guard(off_signature, altered),
    "a new key at sign-in": Guard(
        lambda patch: patch.setattr(SessionStore, "cycle_key", lambda self: None),
        test_sessions.planted_session_is_dropped,
    ),
    "private by default": Guard(off_headers, headers),
    "the square of a point": Guard(
        lambda patch: patch.setattr("people.sensitivity.precision_for", lambda *_, **__: Precision.FULL),
        squares,
    ),
    "boxes ask squares": Guard(
        lambda patch: patch.setattr("doors.rows.finds._own", lambda user: Q(pk__isnull=False)),
        test_inference.no_box_tells_places_of_one_square_apart,
    ),
    "escaping in templates": Guard(
        lambda patch: patch.setattr("django.template.base.conditional_escape", str), markup
    ),
    "wildcards": Guard(
        lambda patch: patch.setattr(BaseDatabaseOperations, "prep_for_like_query", lambda self, x: str(x)),
        lambda ground: test_questions.stands_for_itself("%", ground),
    ),
    "one line for a subject": Guard(lambda patch: patch.setattr("people.letters.one_line", str), head),
    "our own host name": Guard(
        lambda patch: patch.setattr("django.conf.settings.ALLOWED_HOSTS", ["*"]),
        lambda ground: test_paths.host_is_refused("evil.example", ground),
    ),
}


@pytest.mark.parametrize("name", GUARDS)
def test_without_its_guard_the_attack_gets_through(
    name: str, ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    guard = GUARDS[name]
    guard.off(monkeypatch)
    with pytest.raises(Exception) as failed:  # noqa: PT011 (an assertion of the attack, or a letter that cannot be made)
        guard.attack(ground)
    assert isinstance(failed.value, AssertionError | ValueError), failed.value


@pytest.mark.long
@pytest.mark.parametrize("name", [name for name in GUARDS if name != "the limit of a zip"])
def test_with_its_guard_the_attack_is_turned_away(name: str, ground: Ground) -> None:
    """The same attacks as above, so that they fail for no other reason."""
    GUARDS[name].attack(ground)


@pytest.mark.long
@pytest.mark.usefixtures("small")
def test_with_the_limit_the_bomb_is_turned_away(ground: Ground) -> None:
    bomb(ground)
