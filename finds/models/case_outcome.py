"""What the authority decided: day, reference, words, and a reward with its shares."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from finds.models.case import Case, Decision
from web.append_only import AppendOnlyModel
from web.once import OnceModel


class CaseOutcome(OnceModel, AppendOnlyModel):
    """The authority's decision about a case. It is corrected by a later row; the last one counts.

    The reward stands apart from every settlement under an agreement: it is the authority's to give and to share out.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="outcomes")
    decision = models.CharField(_lazy("Outcome"), max_length=10, choices=Decision.choices)
    on = models.DateField(_lazy("Decided on"))
    reference = models.CharField(_lazy("Their reference"), max_length=80, blank=True)
    words = models.TextField(_lazy("Their words"))
    reward = models.DecimalField(_lazy("Reward"), max_digits=12, decimal_places=3, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(decision__in=Decision.values), name="case_outcome_decision_known"
            ),
            models.CheckConstraint(
                condition=Q(reward__isnull=True) | Q(reward__gt=0, decision="acquired"),
                name="case_reward_if_acquired",
            ),
        ]

    def __str__(self) -> str:
        return self.get_decision_display()


class RewardShare(AppendOnlyModel):
    """One party's part of a reward: per cent as the authority said, and the exact amount."""

    class Party(models.TextChoices):
        FINDER = "finder", _lazy("Finder")
        OWNER = "owner", _lazy("Landowner")
        OCCUPIER = "occupier", _lazy("Occupier")
        OTHER = "other", _lazy("Somebody else")

    outcome = models.ForeignKey(CaseOutcome, on_delete=models.PROTECT, related_name="shares")
    party = models.CharField(_lazy("Who"), max_length=8, choices=Party.choices)
    name = models.CharField(_lazy("Name"), max_length=120, blank=True)
    percent = models.DecimalField(max_digits=6, decimal_places=3)
    amount = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(percent__gt=0, percent__lte=100, amount__gte=0), name="reward_share_in_range"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_party_display()}: {self.amount}"
