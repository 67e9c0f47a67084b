"""Sentences that several commands say."""

from keeping.restore import Proof

MB = 1_000_000


def size_words(count: int) -> str:
    return f"{count / MB:,.1f} MB" if count >= MB else f"{count / 1000:,.1f} kB"


def came_back(proof: Proof, what: str) -> str:
    """What was proved, in words."""
    return (
        f"{proof.rows:,} rows of {proof.tables} tables and {proof.files:,} photographs and papers "
        f"({size_words(proof.bytes)}) {what}; every count and every hash agrees with what was written on "
        f"{proof.made_at[:16].replace('T', ' at ')} UTC."
    )


def missing_words(missing: dict[str, str]) -> str:
    """Files that rows name and nobody has."""
    named = "; ".join(f"{name} ({row})" for name, row in list(missing.items())[:5])
    return f"{len(missing)} of the files that rows name could not be found: {named}."
