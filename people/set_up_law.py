"""Whom the law pack of a place names, for a club that enters its contacts: no number is made up."""

from dataclasses import dataclass

from law.model import Authority
from law.pack import load_pack, pack_codes
from law.retold import all_retold
from people.models import Contact

K = Contact.Kind
# How the packs call those who have a kind of their own among the club's contacts.
KINDS: dict[str, tuple[str, ...]] = {
    K.POLICE: ("police", "garda"),
    K.FINDS_OFFICER: ("county", "service"),
    K.CORONER: ("coroner", "examiner"),
    K.MUSEUM: ("museum",),
    K.LAND_MANAGER: ("manager",),
}
ALWAYS = (K.POLICE, K.FINDS_OFFICER)


@dataclass(frozen=True, slots=True)
class First:
    """A kind of contact to enter first: `name` and `how` as the law pack has them, empty where it is silent."""

    kind: str
    name: str
    how: str


def first_kinds(law: str) -> list[First]:
    """Whom to enter first under this law: police and heritage officer always, and those whom the law itself names."""
    named = _authorities(law)
    found = []
    for kind, ids in KINDS.items():
        authority = next((named[each] for each in ids if each in named), None)
        if authority is not None or kind in ALWAYS:
            found.append(First(kind, authority.name if authority else "", authority.how if authority else ""))
    return found


def _authorities(law: str) -> dict[str, Authority]:
    if law not in pack_codes():
        return {}
    return {rule.authority.id: all_retold(rule.authority) for rule in load_pack(law).rules}
