"""The account: a person who logs in by e-mail."""

from datetime import date
from functools import cached_property
from typing import Any, Self

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.crypto import salted_hmac
from django.utils.timezone import localdate
from django.utils.translation import gettext_lazy as _lazy

from people.rights import BEHIND_SECOND_FACTOR, Right, Role, rights_of


class UserQuerySet(models.QuerySet["User"]):
    def visible_to(self, user: "User") -> Self:
        """Members see themselves; those who manage people, and hunt leaders, see everybody."""
        if user.holds(Right.SEE_PEOPLE):
            return self
        return self.filter(pk=user.pk)

    def members_on(self, day: date) -> Self:
        """People whose membership covers `day`."""
        return self.filter(Q(memberships__starts__lte=day, memberships__ends__gte=day)).distinct()


class UserManager(BaseUserManager.from_queryset(UserQuerySet)):  # type: ignore[misc]
    """Creates accounts by e-mail address."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> "User":
        if not email:
            raise ValueError("An account needs an e-mail address.")
        user: User = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, username: str | None) -> "User":
        found: User = self.get(email__iexact=(username or "").strip())
        return found


class User(AbstractBaseUser):
    """One person. Rights come from roles held today and from a membership that covers today."""

    email = models.EmailField(_lazy("E-mail address"), unique=True)
    name = models.CharField(_lazy("Name"), max_length=120)
    phone = models.CharField(_lazy("Phone"), max_length=40, blank=True)
    emergency_contact = models.CharField(
        _lazy("Emergency contact (name and phone)"), max_length=160, blank=True
    )
    vehicle = models.CharField(_lazy("Vehicle registration"), max_length=20, blank=True)
    language = models.CharField(_lazy("Language"), max_length=10, blank=True)  # empty: the club's
    wants_digest = models.BooleanField(_lazy("Send me each day's list of what is due"), default=True)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(auto_now_add=True)
    sessions_epoch = models.PositiveIntegerField(
        default=0, editable=False
    )  # one more ends every sign-in at once

    objects = UserManager()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(Lower("email"), name="user_email_ci_unique")]

    def __str__(self) -> str:
        return self.name

    def _get_session_auth_hash(self, secret: str | None = None) -> str:
        """What every session of this account must carry: it changes with the password and with `sessions_epoch`.

        The framework's own method, which its two public ones and SECRET_KEY_FALLBACKS go through.
        """
        words = f"{self.password}:{self.sessions_epoch}" if self.sessions_epoch else self.password
        salt = "people.models.User.session_auth_hash"
        return salted_hmac(salt, words, secret=secret, algorithm="sha256").hexdigest()

    @cached_property
    def roles(self) -> frozenset[Role]:
        """The roles this person may act in today, as they are for the rest of the request."""
        return self.roles_now()

    def roles_now(self) -> frozenset[Role]:
        """The roles this person may act in today. Without a current membership there are none."""
        today = localdate()  # the one place that asks the clock: a right is always about this moment
        if not self.is_active or not self.memberships.covering(today).exists():
            return frozenset()
        held = {Role(role) for role in self.roles_held.current(today).values_list("role", flat=True)}
        return frozenset(held | {Role.MEMBER})

    @cached_property
    def rights(self) -> frozenset[Right]:
        return rights_of(self.roles)

    def holds(self, right: Right) -> bool:
        return right in self.rights

    @property
    def needs_second_factor(self) -> bool:
        return bool(self.rights & BEHIND_SECOND_FACTOR)

    @property
    def is_known_to_have_no_role(self) -> bool:
        """Was it asked in this request, and is there none? Costs nothing where nobody asked."""
        return "roles" in self.__dict__ and not self.roles


def account_at(email: str) -> User | None:
    """The account with this address, however it is written. For signing in and for keeping addresses apart."""
    found: User | None = User.objects.filter(email__iexact=email.strip()).first()
    return found


def name_of(user: User) -> str:
    """How the library of second factors calls somebody; it is also what a passkey is stored under on a phone."""
    return user.name
