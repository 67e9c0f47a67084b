"""A password must be more than the words that everybody would try first at this club's door.

Source: OWASP ASVS 5.0.0, 6.1.2 and 6.2.11 (a written list of words of the place, and passwords checked against it). The
list is the club's own name and the words below; which words, and how much must be left, is this project's choice.
"""

import re

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from people.models import Club, User

WORDS = (
    "stubble", "detectorist", "detecting", "detector", "detection", "metal", "treasure", "hoard", "finds", "search",
    "field", "signal", "permission", "landowner", "landholder", "secretary", "committee", "member", "club", "society",
    "group", "hunt", "dig", "coin", "gold", "silver", "password", "welcome",
)  # fmt: skip
SHORTEST_WORD = 4  # of the club's name: "and", "of" and "the" say nothing
MUST_BE_LEFT = 8


class LocalWordsValidator:
    """Refuses a password of which too little is left without the club's name and the words of the trade."""

    def validate(self, password: str, user: User | None = None) -> None:
        left, found = password.casefold(), []
        for word in sorted({*WORDS, *_words_of_club()}, key=len, reverse=True):
            if word in left:
                found.append(word)
                left = left.replace(word, "")
        if found and len(left) < MUST_BE_LEFT:
            raise ValidationError(
                _(
                    "Without %(listed)s, which is tried first at a club like this, %(left)s characters "
                    "are left; at least %(must_be_left)s must be. Add words that have nothing to do with "
                    "the club."
                )
                % {"listed": _listed(found), "left": len(left), "must_be_left": MUST_BE_LEFT},
                code="password_of_local_words",
            )

    def get_help_text(self) -> str:
        return _("Your password can't be made of the club's name and the words of detecting alone.")


def _words_of_club() -> list[str]:
    name = Club.objects.filter(pk=1).values_list("name", flat=True).first() or ""
    return [word for word in re.findall(r"\w+", name.casefold()) if len(word) >= SHORTEST_WORD]


def _listed(words: list[str]) -> str:
    return " and ".join(f"“{word}”" for word in words)
