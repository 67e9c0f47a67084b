"""Write the audit trail inside the transaction that it describes."""

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.db import models
from django.utils import translation

from people.models import AuditEntry, User

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def subject_of(record: models.Model) -> str:
    """Return 'app.Model:pk', the key under which the trail knows a record."""
    return f"{record._meta.label}:{record.pk}"


def record(
    verb: str,
    subject: models.Model,
    *,
    by: User | None,
    at: datetime,
    via: str = "",
    label: "StrOrPromise | None" = None,
    **changes: Any,
) -> AuditEntry:
    """Add one line to the trail. `changes` must hold no findspot and no landholder's contact details.

    `label` stands in for the record's own words where those are personal: the trail outlives an erasure.
    """
    with translation.override(
        settings.LANGUAGE_CODE
    ):  # the trail is kept in one language, and worded on reading
        words = str(subject if label is None else label)
    return AuditEntry.objects.create(
        at=at, by=by, via=via, verb=verb, subject=subject_of(subject), label=words[:160], changes=changes
    )


def record_many(verb: str, subjects: Iterable[models.Model], *, by: User | None, at: datetime) -> None:
    """One line for each of many records that the same thing happened to, in one write."""
    record_each(verb, ((subject, by, at, {}) for subject in subjects))


def record_each(
    verb: str, lines: Iterable[tuple[models.Model, User | None, datetime, dict[str, Any]]]
) -> None:
    """One line for each record, the person and the moment beside it, with its changes; in one write."""
    with translation.override(settings.LANGUAGE_CODE):
        AuditEntry.objects.bulk_create(
            AuditEntry(
                at=at, by=by, verb=verb, subject=subject_of(record), label=str(record)[:160], changes=changes
            )
            for record, by, at, changes in lines
        )
