"""The places whose law is known here, as choices of forms, and one for all others."""

from django.utils.translation import gettext as _

from law.pack import load_pack, pack_codes
from law.retold import retold

OTHER = "other"


def places() -> list[tuple[str, str]]:
    """Places whose law is known here, and one for all others: there the gate asks, and nothing is said of duties."""
    known = [(code, retold(load_pack(code).title)) for code in pack_codes()]
    return [*known, (OTHER, _("Another place: ask its heritage authority"))]
