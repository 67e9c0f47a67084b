"""A row taken off twice at once is taken off once: the second is told, and the trail holds one entry."""

import pytest
from django.http import Http404
from django.utils.timezone import now

from people.models import AuditEntry, User
from permissions.actions.ground import remove_field_state
from permissions.models import FieldState
from tests import make


def test_the_second_removal_finds_nothing_and_records_nothing(secretary: User) -> None:
    state = FieldState.objects.create(site=make.site(), on=now().date(), effect="shut", said_by="owner")
    remove_field_state(state.pk, by=secretary, at=now())
    with pytest.raises(Http404, match="taken off already"):
        remove_field_state(state.pk, by=secretary, at=now())
    assert AuditEntry.objects.filter(verb="field_state.remove").count() == 1
