"""What is known of a case's finds, as one short key: it changes when anything changes that a decision rests on."""

import hashlib
import json

from django.db.models import QuerySet

from finds.legal import facts_of
from finds.models import Case, Find
from law.pack import pack_codes
from law.together import fingerprint

# Besides the legal facts: what the record says in words, and whose find it is.
READ = (
    "object_type",
    "description",
    "inscription",
    "identified_by",
    "identified_on",
    "weight_g",
    "diameter_mm",
    "completeness",
    "certainty",
    "finder_id",
)


def case_finds(case_id: int) -> QuerySet[Find]:
    rows = Find.objects.filter(cases=case_id).select_related("site", "hunt", "hole").order_by("pk")
    rows = rows.defer("site__boundary", "hunt__gate_answer", "hunt__briefing")
    return rows.prefetch_related("materials", "site__protected_checks")


def digest_of(case: Case) -> str:
    """The key of all finds of the case: their facts and words, their number, and the law they are judged by."""
    said = [
        [
            find.number,
            facts_of(find).digest(),
            find.hunt.leader_id,
            *(str(getattr(find, name)) for name in READ),
            fingerprint(find.site.jurisdiction) if find.site.jurisdiction in pack_codes() else "",
        ]
        for find in case_finds(case.pk)
    ]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()
