"""The kinds of e-mail the club sends: why each comes, and which of them a reader may turn off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import models
from django.utils.translation import gettext_lazy as _lazy

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


class LetterKind(models.TextChoices):
    LATE = "late", _lazy("Somebody has not come back")
    ACCOUNT = "account", _lazy("Your account")
    SECURITY = "security", _lazy("The security of your account")
    HUNT = "hunt", _lazy("A hunt you have a place on")
    CONSENT = "consent", _lazy("Consent to search")
    CLUB = "club", _lazy("Something that waits for you")
    DUTY_LIST = "duty list", _lazy("The law's clocks and people's safety")
    DIGEST = "digest", _lazy("Each day's list of what is due")
    SIGNED = "signed", _lazy("An agreement was signed")
    REPORT = "report", _lazy("A report on a visit is ready")


@dataclass(frozen=True, slots=True)
class Rule:
    """Why a kind is sent, whether it is a duty, and whether it may overtake what waits for the same reader."""

    why: StrOrPromise
    is_duty: bool = True
    overtakes: bool = False


RULES: dict[LetterKind, Rule] = {
    LetterKind.LATE: Rule(_lazy("somebody may be in trouble and you can help"), overtakes=True),
    LetterKind.ACCOUNT: Rule(_lazy("somebody asked for it for your account"), overtakes=True),
    LetterKind.SECURITY: Rule(_lazy("something about how you sign in has changed"), overtakes=True),
    LetterKind.HUNT: Rule(_lazy("you lead this hunt, have a place on it or wait for one")),
    LetterKind.CONSENT: Rule(_lazy("consent to search is asked of you, or you look after it for the club")),
    LetterKind.CLUB: Rule(_lazy("it concerns something that the club does with you")),
    LetterKind.DUTY_LIST: Rule(_lazy("the law's clocks and people's safety cannot wait")),
    LetterKind.DIGEST: Rule(_lazy("you asked for each day's list of what is due"), is_duty=False),
    LetterKind.SIGNED: Rule(_lazy("you look after permissions for the club"), is_duty=False),
    LetterKind.REPORT: Rule(_lazy("the club searched on land where you have a say"), is_duty=False),
}
OPTIONAL = tuple(kind for kind, rule in RULES.items() if not rule.is_duty)
OVERTAKING = tuple(kind for kind, rule in RULES.items() if rule.overtakes)
FOR_MEMBERS = (LetterKind.DIGEST, LetterKind.SIGNED)
FOR_LANDHOLDERS = (LetterKind.REPORT,)
