"""Who has a say on a day: the queryset and the method agree around each edge."""

import pytest

from permissions.models import SiteParty
from tests import make

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("since", [None, -1, 0, 1])
@pytest.mark.parametrize("until", [None, 1, 2])
def test_queryset_and_method_agree(since: int | None, until: int | None) -> None:
    party = make.site().parties.get()
    party.since = None if since is None else make.days(since)
    party.until = None if until is None else make.days(until)
    party.save()
    for number in range(-3, 5):
        day = make.days(number)
        assert SiteParty.objects.on(day).filter(pk=party.pk).exists() == party.has_say_on(day), number
