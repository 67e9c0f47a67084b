"""The risk assessment of one site on the day of one hunt."""

from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _lazy

from hunts.hazards import band, score
from hunts.models.hunt import Hunt
from people.models import User
from web.once import OnceModel

FROM_1_TO_5 = [MinValueValidator(1), MaxValueValidator(5)]


class RiskAssessmentQuerySet(models.QuerySet["RiskAssessment"]):
    def visible_to(self, user: User) -> Self:
        """Everybody who may see the hunt reads its risks."""
        return self.filter(hunt__in=Hunt.objects.visible_to(user))


class RiskAssessment(OnceModel):
    """Hazards of one site on one day, adapted by the leader from the list."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="risk_assessments")
    site = models.ForeignKey("permissions.Site", on_delete=models.PROTECT, related_name="risk_assessments")
    review_on = models.DateField(_lazy("Look at it again on"))
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    walked_at = models.DateTimeField(_lazy("Ground walked and assessment agreed"), null=True, blank=True)
    walked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = RiskAssessmentQuerySet.as_manager()

    class Meta:
        ordering = ["hunt", "site"]
        constraints = [models.UniqueConstraint(fields=["hunt", "site"], name="risk_once_per_hunt_and_site")]

    def __str__(self) -> str:
        return f"risk assessment {self.pk}"


class RiskLineQuerySet(models.QuerySet["RiskLine"]):
    def visible_to(self, user: User) -> Self:
        return self.filter(assessment__in=RiskAssessment.objects.visible_to(user))


class RiskLine(OnceModel):
    """One hazard: how likely and how bad before and after what is done about it, and who does it."""

    assessment = models.ForeignKey(RiskAssessment, on_delete=models.CASCADE, related_name="lines")
    code = models.CharField(max_length=16, blank=True)  # of the list; empty for the leader's own
    hazard = models.CharField(_lazy("Hazard, and who may come to harm"), max_length=200)
    likelihood = models.PositiveIntegerField(_lazy("Likelihood (1 to 5)"), validators=FROM_1_TO_5)
    severity = models.PositiveIntegerField(_lazy("Severity (1 to 5)"), validators=FROM_1_TO_5)
    control = models.TextField(_lazy("What is done about it"), max_length=600)
    owner = models.CharField(_lazy("Who does it"), max_length=80)
    residual_likelihood = models.PositiveIntegerField(
        _lazy("Likelihood that is left"), validators=FROM_1_TO_5
    )
    residual_severity = models.PositiveIntegerField(_lazy("Severity that is left"), validators=FROM_1_TO_5)

    objects = RiskLineQuerySet.as_manager()

    class Meta:
        ordering = ["assessment", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    likelihood__range=(1, 5),
                    severity__range=(1, 5),
                    residual_likelihood__range=(1, 5),
                    residual_severity__range=(1, 5),
                ),
                name="risk_scores_1_to_5",
            ),
            models.UniqueConstraint(
                fields=["assessment", "code"], condition=~Q(code=""), name="risk_hazard_once"
            ),
        ]

    @property
    def score(self) -> int:
        return score(self.likelihood, self.severity)

    @property
    def residual(self) -> int:
        return score(self.residual_likelihood, self.residual_severity)

    @property
    def band(self) -> tuple[str, str]:
        """Status and word of what is left."""
        return band(self.residual)
