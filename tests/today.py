"""What one section of Today says to somebody: a test of one asks the database for no other.

The whole of Today is asked by its page in the matrix and by the tests that count its questions.
"""

from typing import Any

from django.utils.timezone import now

from people.models import User
from reports.today import SECTIONS


def items_of(user: User, section: str) -> list[Any]:
    """The items that `user`, read anew, is shown under this title; none where the section is not shown."""
    (one,) = [each for each in SECTIONS if each.title == section]
    return list(one.group(User.objects.get(pk=user.pk), now()).items)
