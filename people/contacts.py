"""The club's contacts as its page lists them: under the law for which each was entered."""

from law.pack import load_packs
from law.retold import retold
from people.models import Contact


def contacts_by_law() -> list[tuple[str, list[Contact]]]:
    """The name of each law with its contacts, in the order of the names."""
    names = {code: retold(pack.title) for code, pack in load_packs().items()}
    laws: dict[str, list[Contact]] = {}
    for contact in Contact.objects.all():
        laws.setdefault(names.get(contact.jurisdiction, contact.jurisdiction), []).append(contact)
    return sorted(laws.items())
