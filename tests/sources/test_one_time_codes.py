"""One-time codes against the values printed in their standards.

Sources: RFC 4226, appendix D (the six-digit values of the key 12345678901234567890 for counters 0 to 9); RFC 6238,
appendix B (SHA-1, eight digits, of which the last six are the six-digit code; times in seconds). Copied from memory of
the two documents; two sets that agree with one key are no slip.
"""

import pytest
from allauth.mfa.totp.internal.auth import hotp_value

from tests.make_factors import SECRET, hotp

HOTP = ["755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583", "399871", "520489"]
TOTP = {59: "94287082", 1111111109: "07081804", 1111111111: "14050471", 1234567890: "89005924"}


@pytest.mark.parametrize(("counter", "code"), list(enumerate(HOTP)))
def test_codes_of_rfc_4226(counter: int, code: str) -> None:
    assert hotp(counter) == code
    assert f"{hotp_value(SECRET, counter):06}" == code


@pytest.mark.parametrize(("seconds", "code"), list(TOTP.items()))
def test_codes_of_rfc_6238(seconds: int, code: str) -> None:
    assert hotp(seconds // 30) == code[-6:]
    assert f"{hotp_value(SECRET, seconds // 30):06}" == code[-6:]
