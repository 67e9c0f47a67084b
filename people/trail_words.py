"""A line of the audit trail in the reader's words: the trail itself keeps codes, and names in English."""

import re

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop as noop

from people.trail_verbs import VERBS
from people.trail_verbs_of_days import VERBS_OF_DAYS

NUMBERED = {
    "box move": noop("box move %(number)s"),
    "box reading": noop("box reading %(number)s"),
    "ground plan of": noop("ground plan of hunt %(number)s"),
    "ground reading": noop("ground reading %(number)s"),
    "guest": noop("guest %(number)s"),
    "hole": noop("hole %(number)s"),
    "invitation": noop("invitation %(number)s"),
    "item": noop("object %(number)s of a hand-over"),
    "landholder": noop("landholder %(number)s"),
    "answer of landholder": noop("answer of landholder %(number)s"),
    "lone hunt": noop("out alone, %(number)s"),
    "risk assessment": noop("risk assessment %(number)s"),
    "same-find group": noop("same-find group %(number)s"),
    "set-up": noop("set-up %(number)s"),
    "sign-up": noop("sign-up %(number)s"),
    "thanks": noop("thanks %(number)s"),
    "track": noop("track %(number)s"),
    "visit report draft of": noop("draft of the visit report of hunt %(number)s"),
}
"""Records without a name of their own: how they are called in the trail, and in words."""
SAID_BY_KIND = frozenset({"finds.FindDrill", "finds.FindFate", "hunts.Incident", "people.MailStop"})
"""Records whose name is their kind, out of a list of the program's."""
VIA = {
    "account": noop("the account's own page"),
    "custody link": noop("an address for signing"),
    "invitation": noop("an invitation"),
    "key": noop("a key of the open interface"),
    "letter": noop("a link in a letter"),
    "link": noop("a private page"),
    "own account": noop("the own account"),
    "paper link": noop("an address for signing"),
    "session": noop("the rules for signing in"),
    "set-up": noop("the club's set-up"),
    "sign-in": noop("the sign-in page"),
    "signing link": noop("an address for signing"),
}
"""What stands in for a person where nobody was signed in; anything else is a command's name."""
_NUMBER = re.compile(r"(.+) (\d+)")


def verb_words(code: str) -> str:
    """What was done; the code itself, made legible, where an older line has one that no version says any more."""
    words = VERBS.get(code) or VERBS_OF_DAYS.get(code)
    return _(words) if words else code.replace("_", " ").replace(".", ": ", 1)


def label_words(label: str, subject: str) -> str:
    """What it was done to: a name as it was kept, or a kind and a number in the reader's words."""
    found = _NUMBER.fullmatch(label)
    if found and found[1] in NUMBERED:
        return _(NUMBERED[found[1]]) % {"number": found[2]}
    return _(label) if label and subject.partition(":")[0] in SAID_BY_KIND else label


def via_words(via: str) -> str:
    """By which way it came where nobody was signed in."""
    return _(VIA[via]) if via in VIA else via


def as_kept(words: str) -> str:
    """A kind and a number in the reader's words, as the trail keeps them: 'gat 12' is 'hole 12' there."""
    for kept, said in NUMBERED.items():
        pattern = re.escape(_(said) % {"number": "\n"}).replace("\\\n", r"(\d+)")
        if found := re.fullmatch(pattern, words.strip(), re.IGNORECASE):
            return f"{kept} {found[1]}"
    return words
