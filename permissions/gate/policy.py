"""The club's own settings for the gate, with stated defaults."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Policy:
    """Defaults and where they come from.

    field_state_days: a report older than this is confirmed first (common practice: our own choice).
    protected_check_days: a check of protected places older than this asks again (yearly, facts/trade.md 1.4).
    far_km: a boundary farther than this from the club is doubted (guards against swapped coordinates).
    inform_hours: notice to those who are only informed (24 to 48 h is common practice, facts/trade.md 1.3).
    membership_required, insurance_required: current cards of all who search (facts/trade.md 2.1).
    junior_needs_adult: an adult comes with every junior (facts/trade.md 2.3).
    """

    field_state_days: int = 60
    protected_check_days: int = 365
    far_km: float = 300.0
    inform_hours: int = 24
    membership_required: bool = True
    insurance_required: bool = True
    junior_needs_adult: bool = True


DEFAULT_POLICY = Policy()
