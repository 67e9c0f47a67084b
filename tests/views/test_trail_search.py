"""The audit trail is looked through by person, kind, what was done, words and days, a page at a time by key."""

import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from django.http import QueryDict
from django.test.utils import CaptureQueriesContext
from django.utils import translation

from people.models import AuditEntry, User
from people.trail_kinds import KINDS, models_of
from people.trail_search import A_PAGE, changed_words, found, page_of
from people.trail_words import as_kept
from tests import make
from tests.views.world import build

pytestmark = pytest.mark.django_db
NOON = make.moment(2026, 5, 3, 12)


def line(verb: str = "hole.fill", **fields: Any) -> AuditEntry:
    values = {"at": NOON, "verb": verb, "subject": "hunts.Hole:1", "label": "hole 1"}
    return AuditEntry.objects.create(**(values | fields))


def names(client: Any, query: str) -> list[str]:
    """The labels on the page, in their order."""
    page = client.get(f"/club/audit/?{query}").content.decode()
    return re.findall(r'<td data-label="Record">([^<]*)</td>', page)


@pytest.fixture
def lines(secretary: User, member: User) -> None:
    line(by=member, label="hole 12", at=NOON - timedelta(2))
    line(
        "site.change", by=secretary, subject="permissions.Site:4", label="SF04 Field", at=NOON - timedelta(1)
    )
    line("link.opened", via="link", subject="permissions.Landholder:2", label="landholder 2")


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("", ["landholder 2", "SF04 Field", "hole 12"]),
        ("who={member}", ["hole 12"]),
        ("who=nobody", ["landholder 2"]),
        ("kind=site", ["SF04 Field"]),
        ("kind=hole", ["hole 12"]),
        ("verb=site.change", ["SF04 Field"]),
        ("words=sf04", ["SF04 Field"]),
        ("words=LINK", ["landholder 2"]),
        ("since=2026-05-02&until=2026-05-02", ["SF04 Field"]),
        ("until=2026-05-01", ["hole 12"]),
        ("kind=hole&words=sf04", []),
    ],
)
def test_each_question_leaves_in_what_fits_it(
    lines: None, secretary: User, member: User, client_of: Any, query: str, expected: list[str]
) -> None:
    assert names(client_of(secretary), query.format(member=member.pk)) == expected


def test_what_was_asked_stays_in_the_form_and_in_the_addresses_of_the_pages(
    secretary: User, client_of: Any
) -> None:
    for n in range(A_PAGE + 1):
        line(label=f"hole {n}", at=NOON + timedelta(minutes=n))
    page = client_of(secretary).get("/club/audit/?kind=hole&words=hole").content.decode()
    assert '<option value="hole" selected>' in page
    older = re.search(r'rel="next" href="\?([^"]+)"', page)
    assert older is not None
    asked = QueryDict(older[1].replace("&amp;", "&"))
    assert (asked["kind"], asked["words"]) == ("hole", "hole")
    assert "page" not in asked


def test_pages_turn_by_key_so_that_a_new_line_shifts_nothing() -> None:
    """Lines of one write share their moment: the key tells them apart."""
    total = 2 * A_PAGE + 5
    AuditEntry.objects.bulk_create(
        AuditEntry(
            at=NOON + timedelta(n // 40), verb="hole.log", subject=f"hunts.Hole:{n}", label=f"hole {n}"
        )
        for n in range(total)
    )
    first = page_of(found({}), QueryDict(""))
    line("hunt.open", at=NOON + timedelta(9), label="came in between")
    second = page_of(found({}), QueryDict(first.older))
    third = page_of(found({}), QueryDict(second.older))
    seen = [entry.label for page in (first, second, third) for entry, _ in page.rows]
    assert seen == [f"hole {n}" for n in reversed(range(total))]
    assert (first.newer, third.older) == ("", "")
    back = page_of(found({}), QueryDict(third.newer))
    assert [entry.pk for entry, _ in back.rows] == [entry.pk for entry, _ in second.rows]
    assert page_of(found({}), QueryDict(page_of(found({}), QueryDict(back.newer)).newer)).rows[0][
        0
    ].label == ("came in between")


@pytest.mark.parametrize("key", ["before=x", "before=-1", "after=" + "9" * 40, "before=999999999"])
def test_an_address_with_a_key_that_is_none_shows_the_first_page(
    lines: None, secretary: User, client_of: Any, key: str
) -> None:
    assert names(client_of(secretary), key)[0] == "landholder 2"


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("since=yesterday", "Enter a valid date."),
        ("since=2026-05-03&until=2026-05-01", "The last day is before the first; give a later one."),
        ("kind=treasure", "treasure is not one of the available choices"),
    ],
)
def test_what_cannot_be_asked_is_said_and_kept_as_typed(
    lines: None, secretary: User, client_of: Any, query: str, words: str
) -> None:
    page = client_of(secretary).get(f"/club/audit/?{query}").content.decode()
    assert words in page
    assert "SF04 Field" not in page
    assert "yesterday" not in query or 'value="yesterday"' in page


def test_a_dutch_reader_finds_what_the_trail_keeps_in_english() -> None:
    with translation.override("nl"):
        assert as_kept("gat 12") == "hole 12"
        assert as_kept("SF04") == "SF04"
    assert as_kept("hole 12") == "hole 12"


def test_a_change_names_its_fields_and_never_what_they_hold() -> None:
    changes = {
        "changed": ["leader", "nonsense", "on", "sites"],
        "values": {"on": ["2014-10-05", "2014-10-06"]},
    }
    entry = line("hunt.past_change", subject="hunts.Hunt:1", changes=changes)
    assert changed_words(entry) == "Who led it, Date, Sites"
    assert changed_words(line(changes={"geometry": [1, 2], "changed": "lon"})) == ""
    assert changed_words(line(subject="gone.Model:3", changes={"changed": ["name"]})) == ""


def test_every_kind_names_models_that_are_there_and_none_belongs_to_two() -> None:
    labels = [label for kind in KINDS for label in models_of(kind)]
    assert len(labels) == len(set(labels))
    for label in labels:
        assert apps.get_model(label)._meta.label == label


def test_every_line_of_a_whole_club_belongs_to_a_kind() -> None:
    build()
    kept = {entry.subject.partition(":")[0] for entry in AuditEntry.objects.all()}
    assert len(kept) > 3
    assert kept <= {label for kind in KINDS for label in models_of(kind)}


def test_as_many_queries_for_a_page_as_for_a_line(lines: None, secretary: User, client_of: Any) -> None:
    client, counts = client_of(secretary), []
    for more in range(2):
        for n in range(60 * more):
            line(label=f"hole {n}", by=secretary, at=datetime.now(NOON.tzinfo) - timedelta(n + 1))
        client.get("/club/audit/?words=hole")
        with CaptureQueriesContext(connection) as queries:
            client.get("/club/audit/?words=hole")
        counts.append(len(queries))
    assert counts[0] == counts[1]
