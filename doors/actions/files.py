"""That somebody took a file is on record: who, what, in which format, how many rows, how finely."""

from datetime import datetime

from django.db import transaction

from doors.files.model import Tally
from people import audit
from people.models import User


@transaction.atomic
def note_file(what: str, form: str, about: str, tally: Tally, *, by: User, at: datetime) -> None:
    """One line of the trail about a file that `by` is about to get. `about` is the hunt's or site's code, or empty."""
    audit.record(
        "file.take",
        by,
        by=by,
        at=at,
        label=f"{what} {about}".strip() + f": {form}, {tally.rows}",
        form=form,
        rows=tally.rows,
        places=tally.places,
        precision=dict(tally.by_precision),
    )
