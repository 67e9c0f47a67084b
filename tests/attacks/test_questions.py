"""What people type into a search is text to the database: no SQL, no wildcard, no character that it cannot hold.

Source: OWASP WSTG 4.2, WSTG-INPV-05 (SQL injection, and wildcards of LIKE).
"""

from typing import Any

import pytest
from django.urls import reverse

from finds.models import Find
from people.models import User
from tests import make
from tests.attacks.ground import Ground, body_of

SEARCHES = {
    "finds": ("finds:list", "q"),
    "export": ("finds:export_csv", "q"),
    "hunt of finds": ("finds:list", "hunt"),
    "map": ("finds:map", "q"),
    "period": ("finds:map", "period"),
    "people": ("people:person_list", "q"),
    "landholders": ("permissions:landholder_list", "q"),
    "permissions": ("permissions:permission_list", "q"),
    "incidents": ("hunts:incident_list", "hunt"),
    "cases": ("finds:case_list", "whose"),
    "custody": ("finds:custody_list", "who"),
    "page": ("finds:list", "page"),
    "looks": ("finds:look_list", "reader"),
    "pairs": ("finds:pair_list", "show"),
}
TYPED = {
    "always true": "' OR '1'='1",
    "a second statement": "x'; DROP TABLE finds_find; --",
    "a union": "' UNION SELECT email, password FROM people_user --",
    "a comment": "x'/**/--",
    "a sleep": "'; SELECT pg_sleep(9); --",
    "a backslash": "\\",
    "an escape": "\\' OR 1=1 --",
    "any text": "%",
    "any letter": "_",
    "half a pair": "\ud800",
    "very long": "a" * 5000,
    "a format": "%s %(x)s %n {0} {x.__class__}",
    "an expression": ".*(a+)+$",
    "a look-up": "finder__password__startswith=a",
}


def asked(search: str, typed: str, ground: Ground) -> tuple[int, str]:
    page, field = SEARCHES[search]
    client = ground.client("committee" if search in {"pairs", "looks"} else "secretary")
    answer = client.get(reverse(page), {field: typed.encode("utf-8", "surrogatepass")})
    return answer.status_code, body_of(answer).decode("utf-8", "replace")


def rounds() -> list[Any]:
    """Every search with three of them, and that of finds with all; the rest on demand."""
    usual = {"always true", "a backslash", "half a pair"}
    return [
        pytest.param(
            search,
            typed,
            id=f"{search}-{what}",
            marks=[] if usual & {what} or search == "finds" else pytest.mark.long,
        )
        for search in SEARCHES
        for what, typed in TYPED.items()
    ]


@pytest.mark.parametrize(("search", "typed"), rounds())
def test_what_is_typed_is_only_looked_for(search: str, typed: str, ground: Ground) -> None:
    before = (Find.objects.count(), User.objects.count())
    status, text = asked(search, typed, ground)
    assert status in {200, 400, 404}
    assert ground.world.member.password not in text
    assert "Traceback" not in text
    assert (Find.objects.count(), User.objects.count()) == before


def stands_for_itself(typed: str, ground: Ground) -> None:
    number = ground.world.find.number
    assert number in asked("finds", "", ground)[1]
    assert number not in asked("finds", typed, ground)[1]


@pytest.mark.parametrize("typed", ["%", "_", "%%", "p%s", "p_nnies", "\\%"])
def test_wildcards_stand_for_themselves(typed: str, ground: Ground) -> None:
    stands_for_itself(typed, ground)


@pytest.mark.parametrize(
    "field", ["hunt__leader__password", "order_by", "fields", "sort", "filter", "having", "where"]
)
def test_a_field_of_the_table_is_no_question(field: str, ground: Ground) -> None:
    """A page takes the questions that it names and no others."""
    plain = ground.client("member").get(reverse("finds:list"))
    more = ground.client("member").get(reverse("finds:list"), {field: "a"})
    assert more.status_code == 200
    assert (more.text.count("<tr"), more.text.count("<li")) == (
        plain.text.count("<tr"),
        plain.text.count("<li"),
    )


@pytest.mark.parametrize("where", ["email", "password"])
def test_signing_in_with_sql_signs_nobody_in(where: str, ground: Ground) -> None:
    said = {"username": ground.world.member.email, "password": make.PASSWORD}
    said |= {"username" if where == "email" else "password": "' OR 1=1 --"}
    client = ground.client("anonymous")
    assert client.post(reverse("people:sign_in"), said).status_code == 200
    assert client.get(reverse("people:me")).status_code == 302
