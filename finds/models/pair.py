"""Two finds that may belong together: a suggestion to look, and every word that people said about it."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.utils.translation import gettext_lazy as _lazy

from finds.states import PairState
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel


class PairSuggestionQuerySet(models.QuerySet["PairSuggestion"]):
    def visible_to(self, user: User) -> Self:
        """The committee sees every pair: it says how near somebody's find lies to another's. A finder sees what they
        are asked about.
        """
        return self if user.holds(Right.REVIEW_CASES) else self.asked_of(user)

    def asked_of(self, user: User) -> Self:
        """Pairs about which the committee waits for this finder's answer."""
        theirs = Q(first__finder=user) | Q(second__finder=user)
        answered = PairEvent.objects.filter(
            pair=OuterRef("pk"), by=user, verb=PairEvent.Verb.ANSWERED, at__gte=OuterRef("asked_at")
        )
        return (
            self.live().filter(~Exists(answered), theirs, state=PairState.ASKED)
            if user.roles
            else self.none()
        )

    def decided(self) -> Self:
        """What was judged, the latest first."""
        return self.filter(state__in=[PairState.SAME, PairState.APART]).order_by("-changed_at", "-pk")

    def live(self) -> Self:
        """Without pairs of which one is withdrawn, or that are in one group already."""
        together = Q(first__group__isnull=False, first__group=F("second__group"))
        return self.filter(first__withdrawn_at=None, second__withdrawn_at=None).exclude(together)

    def to_look_at(self) -> Self:
        """What waits for somebody, the most worth looking at first."""
        return self.live().filter(state__in=[PairState.OPEN, PairState.ASKED]).order_by("-score", "pk")


class PairSuggestion(models.Model):
    """Written when a find is recorded or changed (finds/actions/pairs.py), so that no page has to search for pairs.

    `facts_digest` stands for what was known of both: a pair that was judged apart comes back only when it changes.
    """

    first = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="+")
    state = models.CharField(
        max_length=5, choices=[(s.value, _lazy(s.value)) for s in PairState], default=PairState.OPEN
    )
    score = models.FloatField()
    distance_m = models.FloatField(null=True)
    reach_m = models.FloatField(null=True)
    reasons: Any = models.JSONField(default=list)
    facts_digest = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    asked_at = models.DateTimeField(null=True)
    proposed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = PairSuggestionQuerySet.as_manager()

    class Meta:
        ordering = ["-score", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["first", "second"], name="pair_once"),
            models.CheckConstraint(condition=Q(first__lt=F("second")), name="pair_in_order"),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in PairState]), name="pair_state_known"
            ),
        ]
        indexes = [models.Index(fields=["state", "-score", "id"], name="pair_worth_looking")]

    def __str__(self) -> str:
        return f"{self.first.number} and {self.second.number}"


class PairEvent(AppendOnlyModel):
    """What somebody said or decided about a pair, with the facts as they then were."""

    class Verb(models.TextChoices):
        PROPOSED = "proposed", _lazy("The finder thinks they belong together")
        ASKED = "asked", _lazy("The finder was asked")
        ANSWERED = "answered", _lazy("The finder answered")
        SAME = "same", _lazy("Same find")
        APART = "apart", _lazy("Not the same find")
        AGAIN = "again", _lazy("What is known changed since")

    pair = models.ForeignKey(PairSuggestion, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    verb = models.CharField(max_length=8, choices=Verb.choices)
    words = models.TextField(blank=True)
    facts_digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["at", "pk"]
