"""The audit trail: who did what to which record, when, and through which door."""

from django.conf import settings
from django.db import models

from people.trail_words import label_words, verb_words, via_words
from web.append_only import AppendOnlyModel


class AuditEntry(AppendOnlyModel):
    """One line of the trail. `subject` is 'app.Model:pk', so it survives what it describes."""

    at = models.DateTimeField(db_index=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    via = models.CharField(max_length=80, blank=True)  # a landholder's link, or a command
    verb = models.CharField(max_length=60)
    subject = models.CharField(max_length=80, db_index=True)
    label = models.CharField(max_length=160)
    changes = models.JSONField(default=dict)  # never a findspot, never a landholder's contact details

    class Meta:
        ordering = ["-at", "-pk"]

    @property
    def words(self) -> str:
        """What was done, in the reader's language."""
        return verb_words(self.verb)

    @property
    def name(self) -> str:
        """What it was done to, in the reader's language."""
        return label_words(self.label, self.subject)

    @property
    def way(self) -> str:
        """By which way it came where nobody was signed in, in the reader's language."""
        return via_words(self.via)
