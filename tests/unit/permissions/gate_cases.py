"""Every worked case of the gate in one table; each was read line by line against the rules it names."""

from tests.unit.permissions import cases_consent, cases_land, cases_visit

CASES = cases_consent.CASES + cases_land.CASES + cases_visit.CASES
