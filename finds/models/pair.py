"""Two finds that may belong together: a suggestion to look, and every word that people said about it."""

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from finds.states import PairState
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel


class PairSuggestionQuerySet(models.QuerySet["PairSuggestion"]):
    def visible_to(self, user: User) -> Self:
        """The committee sees every pair: it says how near somebody's find lies to another's."""
        return self if user.holds(Right.REVIEW_CASES) else self.none()

    def asked_of(self, user: User) -> Self:
        """Pairs about which the committee waits for this finder's answer."""
        theirs = Q(first__finder=user) | Q(second__finder=user)
        return (
            self.live()
            .filter(theirs, state=PairState.ASKED)
            .exclude(events__by=user, events__verb=PairEvent.Verb.ANSWERED, events__at__gte=F("asked_at"))
        )

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
        max_length=5, choices=[(s.value, s.value) for s in PairState], default=PairState.OPEN
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
        PROPOSED = "proposed", "The finder thinks they belong together"
        ASKED = "asked", "The finder was asked"
        ANSWERED = "answered", "The finder answered"
        SAME = "same", "Same find"
        APART = "apart", "Not the same find"
        AGAIN = "again", "What is known changed since"

    pair = models.ForeignKey(PairSuggestion, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    verb = models.CharField(max_length=8, choices=Verb.choices)
    words = models.TextField(blank=True)
    facts_digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["at", "pk"]
