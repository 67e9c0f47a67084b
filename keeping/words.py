"""Sentences that several commands say."""

from django.utils.translation import gettext as _

from keeping.restore import Proof
from tongue import figure

MB = 1_000_000


def size_words(count: int) -> str:
    return (
        _("%(value)s MB") % {"value": figure(f"{count / MB:,.1f}")}
        if count >= MB
        else _("%(value)s kB") % {"value": figure(f"{count / 1000:,.1f}")}
    )


def came_back(proof: Proof, what: str) -> str:
    """What was proved, in words."""
    return _(
        "%(proof_rows)s rows of %(proof_tables)s tables and %(proof_files)s photographs and papers "
        "(%(size_words)s) %(what)s; every count and every hash agrees with what was written on "
        "%(day)s at %(time)s UTC."
    ) % {
        "proof_rows": figure(f"{proof.rows:,}"),
        "proof_tables": proof.tables,
        "proof_files": figure(f"{proof.files:,}"),
        "size_words": size_words(proof.bytes),
        "what": what,
        "day": proof.made_at[:10],
        "time": proof.made_at[11:16],
    }


def missing_words(missing: dict[str, str]) -> str:
    """Files that rows name and nobody has."""
    named = "; ".join(f"{name} ({row})" for name, row in list(missing.items())[:5])
    return _("%(missing)s of the files that rows name could not be found: %(named)s.") % {
        "missing": len(missing),
        "named": named,
    }
