"""Terms of a permission as plain data, which of two is stricter, and how they read in English."""

from permissions.terms.compare import contradictions, stricter
from permissions.terms.model import (
    Capacity,
    DogRule,
    Findspot,
    LivestockRule,
    Per,
    Photographs,
    Sharing,
    Terms,
    Threshold,
    Whole,
    WhoMay,
)
from permissions.terms.plain import long_date, money
from permissions.terms.words import Clause, clauses, in_words

__all__ = [
    "Capacity",
    "Clause",
    "DogRule",
    "Findspot",
    "LivestockRule",
    "Per",
    "Photographs",
    "Sharing",
    "Terms",
    "Threshold",
    "WhoMay",
    "Whole",
    "clauses",
    "contradictions",
    "in_words",
    "long_date",
    "money",
    "stricter",
]
