"""Who of the committee signed that a case is no duty, who did not, and which signatures stopped counting."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from web.append_only import AppendOnlyModel
from web.once import OnceModel


class CaseVote(OnceModel, AppendOnlyModel):
    """One signature under “no duty”. Two different people are needed; `facts_digest` is what each of them looked at.

    A row that answers another names it in `proposal`. A lapse is written by nobody: something else had changed.
    """

    class Says(models.TextChoices):
        PROPOSES = "proposes", _lazy("Proposed “no duty”")
        AGREES = "agrees", _lazy("Agreed: no duty")
        DISAGREES = "disagrees", _lazy("Did not agree")
        TAKES_BACK = "takes back", _lazy("Took the proposal back")
        LAPSED = "lapsed", _lazy("The first signature lapsed")

    case = models.ForeignKey("finds.Case", on_delete=models.PROTECT, related_name="votes")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    says: Any = models.CharField(max_length=10, choices=Says.choices)
    words = models.TextField(blank=True)
    facts_digest = models.CharField(max_length=64)
    proposal = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="answers"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            # The database itself lets a proposal be answered once, whoever is quicker.
            models.UniqueConstraint(fields=["proposal"], name="case_proposal_answered_once"),
            models.CheckConstraint(
                condition=Q(says="proposes", proposal__isnull=True)
                | (~Q(says="proposes") & Q(proposal__isnull=False)),
                name="case_vote_answers_a_proposal",
            ),
            models.CheckConstraint(condition=Q(by__isnull=False) | Q(says="lapsed"), name="case_vote_signed"),
        ]

    def __str__(self) -> str:
        return f"vote {self.pk}"
