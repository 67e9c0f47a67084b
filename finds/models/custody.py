"""Who holds an object now, and every hand-over before: a ledger that only grows."""

from datetime import date
from functools import lru_cache
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.models.erased import NamesShownMixin, is_erased
from people.models import User
from people.rights import Right
from permissions.models import SiteParty
from web.append_only import AppendOnlyModel, AppendOnlyQuerySet


class Holder(models.TextChoices):
    FINDER = "finder", _lazy("Finder")
    CLUB = "club", _lazy("Club")
    LANDHOLDER = "landholder", _lazy("Landholder")
    OFFICER = "officer", _lazy("Heritage officer")
    MUSEUM = "museum", _lazy("Museum")
    CONSERVATOR = "conservator", _lazy("Conservator")
    BUYER = "buyer", _lazy("Buyer")
    LOST = "lost", _lazy("Lost")
    REBURIED = "reburied", _lazy("Reburied")


NOBODY = (Holder.LOST, Holder.REBURIED)
"""No person has it: nobody can hand it over or be asked for it."""
FINAL = (*NOBODY, Holder.BUYER)
"""An object leaves one of these only with the reason in words."""
AUTHORITY = (Holder.OFFICER, Holder.MUSEUM, Holder.CONSERVATOR)
OWN = (Holder.FINDER, Holder.CLUB)


class CustodyQuerySet(AppendOnlyQuerySet["CustodyEntry"]):
    def visible_to(self, user: User) -> Self:
        """Entries about finds that this reader may see."""
        from finds.models.find import Find  # the find's own module is loaded after this one

        return self.filter(find__in=Find.objects.visible_to(user))

    def current(self) -> Self:
        """The newest entry of each find. Steps have no gaps, so nothing follows it exactly when the next is missing."""
        after = CustodyEntry.objects.filter(find=OuterRef("find"), step=OuterRef("step") + 1)
        return self.filter(~Exists(after))

    def overdue(self, today: date) -> Self:
        return self.filter(due_back__lt=today)


CustodyRows = models.Manager.from_queryset(CustodyQuerySet)


class CustodyManager(CustodyRows["CustodyEntry"]):
    """Every entry comes with whether its names were erased."""

    def get_queryset(self) -> CustodyQuerySet:
        return _with_erased().using(self._db)


@lru_cache(maxsize=1)
def _with_erased() -> CustodyQuerySet:
    """Put together once: a manager is asked for its queryset at each prefetched find and each hand-over."""
    parties = SiteParty.objects.filter(site=OuterRef("find__site"))
    rows = CustodyQuerySet(CustodyEntry)
    return rows.annotate(from_erased=is_erased("from", parties), to_erased=is_erased("to", parties))


class CustodyEntry(NamesShownMixin, AppendOnlyModel):
    """One hand-over. `step` counts from 1 per find, so two hand-overs at once cannot both be the next.

    The holder of an object is `to_holder`, `to_name` of its highest step: one for each find at any time.
    """

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="custody")
    step = models.PositiveIntegerField()
    at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    from_holder = models.CharField(max_length=11, choices=Holder.choices, blank=True)
    from_name = models.CharField(max_length=160, blank=True)
    to_holder = models.CharField(max_length=11, choices=Holder.choices)
    to_name = models.CharField(max_length=160)
    purpose = models.CharField(max_length=160)
    due_back = models.DateField(null=True, blank=True)
    condition = models.CharField(max_length=200, blank=True)
    signature: Any = models.JSONField(default=dict, blank=True)  # name, time, text signed and its hash
    # How a loss or reburial came about, or why an object left a state that was to be its last.
    words = models.TextField(blank=True)
    happened_on = models.DateField(null=True, blank=True)
    reported_to = models.CharField(max_length=200, blank=True)
    evidence = models.CharField(max_length=200, blank=True)  # what shows it, where nobody signed here
    hand_over = models.ForeignKey(
        "finds.HandOver", null=True, blank=True, on_delete=models.PROTECT, related_name="entries"
    )

    objects = CustodyManager()  # type: ignore[misc]

    class Meta:
        ordering = ["find", "step"]
        constraints = [
            models.UniqueConstraint(fields=["find", "step"], name="custody_step_once"),
            models.CheckConstraint(condition=Q(to_holder__in=Holder.values), name="custody_holder_known"),
            models.CheckConstraint(condition=Q(step__gte=1), name="custody_step_from_one"),
        ]

    @property
    def is_final(self) -> bool:
        return self.to_holder in FINAL

    def holder_for(self, user: User) -> str:
        """Who got it, for this reader: a landholder's name is for those who keep custody or may see landholders."""
        may = user.holds(Right.SEE_LANDHOLDERS) or user.holds(Right.MOVE_CUSTODY)
        return _("The landholder") if self.to_holder == Holder.LANDHOLDER and not may else self.to_shown
