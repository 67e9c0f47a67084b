"""A list with nothing in it says what to do next: every list of a club on its first evening, for those who run it."""

import re
from typing import Any

import pytest
from django.urls import reverse

from people.rights import Role
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.once]
LISTS = (
    "doors:key_list", "field:parked", "finds:box_list", "finds:case_list", "finds:custody_list", "finds:list",
    "finds:look_list", "finds:map", "finds:numbers", "finds:pack_change", "finds:pair_list", "finds:patterns",
    "hunts:incident_list", "hunts:kit_list", "hunts:list", "hunts:lone_list", "hunts:plan", "hunts:recheck_list",
    "people:club", "people:invitation_list", "permissions:gate", "permissions:landholder_list",
    "permissions:permission_list", "permissions:protected_list", "permissions:site_list", "reports:answers",
    "reports:issued_list", "reports:officer_visits", "reports:sheets",
)  # fmt: skip
EMPTY = re.compile(r'<div class="empty">(.*?)</div>', re.S)


def test_every_empty_list_leads_on(client_of: Any) -> None:
    make.club()
    client = client_of(make.person(Role.SECRETARY, Role.LEADER, Role.COMMITTEE))
    silent = []
    for name in LISTS:
        page = client.get(reverse(name)).content.decode()
        if not any("href=" in block for block in EMPTY.findall(page)):
            silent.append(name)
    assert silent == []
