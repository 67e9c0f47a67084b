"""What landholders say through their private link, and the club's answer to it."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from reports.models.issued import IssuedReport
from web.append_only import AppendOnlyModel
from web.once import OnceModel


class LandholderAnswer(OnceModel, AppendOnlyModel):
    """What a landholder said through the link: returned items confirmed, a question, a concern, a pause..."""

    class What(models.TextChoices):
        CONFIRMED = "confirmed", _lazy("Confirmed what was returned")
        DISPUTED = "disputed", _lazy("Something is missing or not right")
        CONCERN = "concern", _lazy("Raised a concern")
        QUESTION = "question", _lazy("Asked a question")
        INVITED = "invited", _lazy("Asked the club to come again")
        PAUSED = "paused", _lazy("Paused the permission")
        WITHDREW = "withdrew", _lazy("Withdrew consent")

    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="answers")
    link = models.ForeignKey("permissions.LandholderLink", on_delete=models.PROTECT, related_name="answers")
    what = models.CharField(max_length=9, choices=What.choices)
    report = models.ForeignKey(
        IssuedReport, null=True, blank=True, on_delete=models.PROTECT, related_name="answers"
    )
    permission = models.ForeignKey(
        "permissions.Permission", null=True, blank=True, on_delete=models.PROTECT, related_name="answers"
    )
    words = models.TextField(blank=True)
    signed_name = models.CharField(max_length=160, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"answer of landholder {self.landholder_id}"


class Concern(models.Model):
    """The club's answer to a landholder's concern, so that nothing closes silently."""

    answer = models.OneToOneField(LandholderAnswer, on_delete=models.PROTECT, related_name="settled")
    settled_at = models.DateTimeField()
    settled_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    words = models.TextField(_lazy("What was done"))
