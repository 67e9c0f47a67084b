"""What is kept or brought back stands in the audit trail, where there is a club yet."""

from datetime import datetime
from typing import Any

from django.db import transaction

from people import audit
from people.models import Club


@transaction.atomic
def note(verb: str, *, via: str, at: datetime, **changes: Any) -> None:
    club = Club.objects.first()
    if club is not None:
        audit.record(verb, club, by=None, via=via, at=at, **changes)
