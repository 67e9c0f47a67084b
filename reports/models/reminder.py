"""Which person was sent the day's list of what is due, so that nobody gets it twice."""

from django.conf import settings
from django.db import models


class Reminder(models.Model):
    """One person and one day. Claimed before the e-mail leaves: a run that dies in between does not send again."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    claimed_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    failed_at = models.DateTimeField(null=True, blank=True)  # the mail server refused: may be tried again
    items = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-on", "user"]
        constraints = [models.UniqueConstraint(fields=["user", "on"], name="reminder_once_a_day")]

    def __str__(self) -> str:
        return f"reminder of {self.on}"
