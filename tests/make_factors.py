"""Makers of second factors and invitations, and what an app with codes shows (from RFC 4226 and RFC 6238)."""

import hmac
import struct
from base64 import b32encode
from datetime import timedelta
from hashlib import sha1, sha256
from typing import Any

from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal import auth as judge
from cryptography.hazmat.primitives.asymmetric import ec
from django.utils.timezone import now
from fido2.cose import ES256
from fido2.utils import websafe_encode
from fido2.webauthn import AttestationObject, AttestedCredentialData, AuthenticatorData, CollectedClientData

from people.models import Invitation, User
from people.rights import Role
from people.sealing import seal
from tests import make

KEY = b"12345678901234567890"  # of RFC 4226, appendix D
SECRET = b32encode(KEY).decode()


def hotp(counter: int, key: bytes = KEY) -> str:
    """RFC 4226, section 5.3: dynamic truncation to six digits."""
    digest = hmac.new(key, struct.pack(">Q", counter), sha1).digest()
    start = digest[-1] & 15
    return f"{(struct.unpack('>I', digest[start : start + 4])[0] & 0x7FFFFFFF) % 10**6:06}"


def code_now(steps: int = 0, key: bytes = KEY) -> str:
    """RFC 6238, section 4: the same over the number of half minutes since 1970, by the clock of who judges it."""
    return hotp(int(judge.time.time()) // 30 + steps, key)


def app(user: User) -> Authenticator:
    """The app that makes codes, set up. Twice is once."""
    values = {"data": {"secret": seal(SECRET)}}
    return Authenticator.objects.get_or_create(user=user, type=Authenticator.Type.TOTP, defaults=values)[0]


def recovery_codes(user: User) -> Authenticator:
    app(user)
    values = {"data": {"seed": seal("ab" * 40), "used_mask": 0}}
    kind = Authenticator.Type.RECOVERY_CODES
    return Authenticator.objects.get_or_create(user=user, type=kind, defaults=values)[0]


def passkey(user: User, name: str = "My phone") -> Authenticator:
    """A passkey as a browser would have registered it (Web Authentication Level 2, section 5.2.1)."""
    number = Authenticator.objects.filter(type=Authenticator.Type.WEBAUTHN).count()
    public = ES256.from_cryptography_key(ec.generate_private_key(ec.SECP256R1()).public_key())
    held = AttestedCredentialData.create(bytes(16), number.to_bytes(16, "big"), public)
    facts = AuthenticatorData.create(sha256(b"localhost").digest(), 0x45, 0, held)
    client = CollectedClientData.create("webauthn.create", b"challenge", "http://localhost")
    credential: dict[str, Any] = {
        "id": websafe_encode(held.credential_id),
        "rawId": websafe_encode(held.credential_id),
        "type": "public-key",
        "response": {
            "clientDataJSON": websafe_encode(client),
            "attestationObject": websafe_encode(AttestationObject.create("none", facts, {})),
        },
        "clientExtensionResults": {"credProps": {"rk": True}},
    }
    data = {"name": name, "credential": credential}
    return Authenticator.objects.create(user=user, type=Authenticator.Type.WEBAUTHN, data=data)


def invited(*roles: Role, by: User, **fields: Any) -> Invitation:
    """Somebody who has no password yet, and the invitation that waits."""
    person = make.person(*roles)
    person.set_unusable_password()
    person.save()
    values = {"made_at": now(), "sent_at": now(), "expires_at": now() + timedelta(7), "made_by": by} | fields
    return Invitation.objects.create(user=person, **values)
