"""A hand-over of one or several objects: proposed, then accepted by whoever receives them, or refused or cancelled."""

from datetime import datetime
from typing import Any, Self, cast

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q
from django.utils.translation import gettext_lazy as _lazy

from finds.models.custody import Holder
from finds.models.erased import ERASED, NamesShownMixin, is_erased
from finds.states import HandOverState, ItemState
from hunts.models.hole import PhotoModel
from people.models import User
from people.rights import Right
from permissions.models import SiteParty
from web.append_only import AppendOnlyModel
from web.once import OnceModel


class Capacity(models.TextChoices):
    """On whose authority the giver hands over (museum procedure: object entry asks for owner and authority)."""

    OWNER = "owner", _lazy("As the owner")
    FOR_OWNER = "for owner", _lazy("For the owner, with their agreement")
    FINDER = "finder", _lazy("As the finder; who owns it is not settled")
    KEEPER = "keeper", _lazy("As keeper only; it belongs to somebody else")


class HandOverQuerySet(models.QuerySet["HandOver"]):
    def visible_to(self, user: User) -> Self:
        """All for those who keep custody; others see their own, and those with a find of theirs or of a hunt they led.

        One that names a landholder is for whoever may know the name.
        """
        if user.holds(Right.MOVE_CUSTODY):
            return self
        if not user.roles:
            return self.none()
        near = Q(items__find__finder=user) | Q(items__find__hunt__leader=user)
        if not user.holds(Right.SEE_LANDHOLDERS):
            near &= ~Q(from_holder=Holder.LANDHOLDER) & ~Q(to_holder=Holder.LANDHOLDER)
        return self.filter(near | Q(proposed_by=user)).distinct()

    def waiting(self) -> Self:
        return self.filter(state=HandOverState.PROPOSED)


HandOverRows = models.Manager.from_queryset(HandOverQuerySet)


class HandOverManager(HandOverRows["HandOver"]):
    """Every hand-over comes with whether its names were erased."""

    def get_queryset(self) -> HandOverQuerySet:
        sites = HandOverItem.objects.filter(hand_over=OuterRef(OuterRef("pk"))).values("find__site")
        parties = SiteParty.objects.filter(site__in=sites)
        rows = cast(HandOverQuerySet, super().get_queryset())
        return rows.annotate(from_erased=is_erased("from", parties), to_erased=is_erased("to", parties))


class HandOver(NamesShownMixin, OnceModel):
    """Objects from one holder to another. Custody moves when the receiver accepts, never before.

    Its fields cover what a museum's object entry and exit ask of a receipt; the texts signed stand in the signatures.
    """

    number = models.CharField(max_length=20, unique=True)
    year = models.PositiveIntegerField()
    serial = models.PositiveIntegerField()
    state = models.CharField(
        max_length=9,
        choices=[(s.value, _lazy(s.value)) for s in HandOverState],
        default=HandOverState.PROPOSED,
    )
    from_holder = models.CharField(max_length=11, choices=Holder.choices)
    from_name = models.CharField(max_length=160)
    capacity = models.CharField(_lazy("Handed over"), max_length=9, choices=Capacity.choices)
    owner = models.CharField(_lazy("Owner, as far as known"), max_length=160, blank=True)
    to_holder = models.CharField(_lazy("Handed to"), max_length=11, choices=Holder.choices)
    to_name = models.CharField(_lazy("Name of the receiver"), max_length=160)
    to_details = models.CharField(_lazy("How to reach them"), max_length=200, blank=True)
    purpose = models.CharField(_lazy("What for"), max_length=160)
    terms = models.TextField(_lazy("Terms agreed"), blank=True)
    location = models.CharField(_lazy("Where it will be kept"), max_length=160, blank=True)
    due_back = models.DateField(_lazy("Due back"), null=True, blank=True)
    uncollected = models.CharField(_lazy("If it is not collected"), max_length=200, blank=True)
    proposed_at = models.DateTimeField()
    proposed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_why = models.CharField(max_length=500, blank=True)
    evidence = models.CharField(max_length=200, blank=True)

    objects = HandOverManager()

    class Meta:
        ordering = ["-proposed_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["year", "serial"], name="hand_over_number_once"),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in HandOverState]), name="hand_over_state_known"
            ),
            models.CheckConstraint(
                condition=Q(state=HandOverState.PROPOSED, ended_at__isnull=True)
                | Q(~Q(state=HandOverState.PROPOSED), ended_at__isnull=False),
                name="hand_over_ended_with_time",
            ),
            models.CheckConstraint(
                condition=~Q(to_holder__in=[Holder.LOST, Holder.REBURIED]), name="hand_over_to_somebody"
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def names_erased(self) -> bool:
        """A landholder who gave or received was erased: who owned it and how to reach them is not shown either."""
        return ERASED in (self.from_shown, self.to_shown)


class HandOverItemQuerySet(models.QuerySet["HandOverItem"]):
    def waiting(self) -> Self:
        return self.filter(state=ItemState.WAITING)

    def asking(self) -> Self:
        """What was not received and nobody has answered."""
        return self.filter(state=ItemState.MISSING, answered_at__isnull=True)


class HandOverItem(models.Model):
    """One object of a hand-over. `after_step` is where the ledger stood: it moves only from there.

    An object waits in one hand-over at most, by constraint.
    """

    hand_over = models.ForeignKey(HandOver, on_delete=models.CASCADE, related_name="items")
    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="hand_over_items")
    after_step = models.PositiveIntegerField()
    state = models.CharField(
        max_length=9, choices=[(s.value, _lazy(s.value)) for s in ItemState], default=ItemState.WAITING
    )
    condition_out = models.CharField(_lazy("Condition when handed over"), max_length=200, blank=True)
    condition_in = models.CharField(_lazy("Condition when received"), max_length=200, blank=True)
    why = models.CharField(max_length=300, blank=True)  # why it did not go with the others
    # What was not received asks the club, and stays a question until somebody answers.
    answer = models.CharField(_lazy("What was done"), max_length=300, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = HandOverItemQuerySet.as_manager()

    class Meta:
        ordering = ["hand_over", "find__number", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hand_over", "find"], name="hand_over_item_once"),
            models.UniqueConstraint(
                fields=["find"], condition=Q(state=ItemState.WAITING), name="hand_over_waits_once"
            ),
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in ItemState]), name="hand_over_item_state_known"
            ),
        ]

    def __str__(self) -> str:
        return f"item {self.pk}"


class ConditionPhoto(PhotoModel):
    """How an object looked when it was handed over or received."""

    class Stage(models.TextChoices):
        OUT = "out", _lazy("When handed over")
        IN = "in", _lazy("When received")

    item = models.ForeignKey(HandOverItem, on_delete=models.PROTECT, related_name="photos")
    stage = models.CharField(_lazy("Taken"), max_length=3, choices=Stage.choices)

    class Meta:
        ordering = ["item", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["item", "stage", "original_sha256"], name="condition_photo_once"),
        ]

    def __str__(self) -> str:
        return f"condition photograph {self.pk}"


class Side(models.TextChoices):
    GIVER = "giver", _lazy("Who hands over")
    RECEIVER = "receiver", _lazy("Who receives")


class HandOverSignature(OnceModel, AppendOnlyModel):
    """The name typed, the strokes if drawn, the exact text and its hash: once for each side of a hand-over."""

    hand_over = models.ForeignKey(HandOver, on_delete=models.PROTECT, related_name="signatures")
    side = models.CharField(max_length=8, choices=Side.choices)
    name = models.CharField(max_length=160)
    statement = models.CharField(max_length=500)
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    drawn: Any = models.JSONField(default=list, blank=True)
    signed_at = models.DateTimeField()
    signed_by = models.ForeignKey(  # on whose screen; none: through the address
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["signed_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["hand_over", "side"], name="hand_over_signature_once"),
        ]

    def __str__(self) -> str:
        return f"hand-over signature {self.pk}"


class HandOverLinkQuerySet(models.QuerySet["HandOverLink"]):
    def live(self, at: datetime) -> Self:
        return self.filter(revoked_at__isnull=True, expires_at__gt=at)


class HandOverLink(OnceModel):
    """An address with a key of its own through which one side reads and signs one hand-over."""

    hand_over = models.ForeignKey(HandOver, on_delete=models.PROTECT, related_name="links")
    side = models.CharField(max_length=8, choices=Side.choices)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)

    objects = HandOverLinkQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"hand-over link {self.pk}"
