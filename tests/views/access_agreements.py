"""Who gets what of agreements and signatures: the secretary's pages, and the signer's by live and expired address."""

from reports.agreements import digest_of, signed_text
from tests.views.access import INSIDERS, Row, who

ONLY_SECRETARY = who("secretary", 200)
DONE_BY_SECRETARY = who("secretary", 302)
ANYBODY = f"link anonymous stranger {INSIDERS}"
OPENS = who(ANYBODY, 200) | who("expired", 410)
SENT = who(ANYBODY, 302) | who("expired", 410)


def permission(world):
    return {"pk": world.permission.pk}


def issue(world):
    return {"pk": world.sign_request.issue_id}


def key(world):
    return {"key": ""}


def signing(world):
    read = digest_of(signed_text(world.sign_request))
    return {"name": "Ada Warp", "agree": "on", "read_sha256": read}


ROWS = [
    Row("reports:agreement", ONLY_SECRETARY, kwargs=permission, otherwise=403),
    Row(
        "reports:agreement_send",
        DONE_BY_SECRETARY,
        kwargs=permission,
        method="post",
        data=lambda w: {"signers": [f"{w.landholder.pk}:owner"], "days": "30"},
        otherwise=403,
    ),
    Row("reports:agreement_issued", ONLY_SECRETARY, kwargs=issue),
    Row("reports:agreement_pdf", ONLY_SECRETARY, kwargs=issue),
    Row(
        "reports:request_revoke",
        DONE_BY_SECRETARY,
        kwargs=lambda w: {"pk": w.sign_request.pk},
        method="post",
        otherwise=403,
    ),
    # Whoever holds the address may read and sign: that is what it is for. An expired one shows nothing.
    Row("reports:sign", OPENS, kwargs=key),
    Row("reports:sign_pdf", OPENS, kwargs=key),
    Row("reports:sign_agree", SENT, kwargs=key, method="post", data=signing),
    Row("reports:sign_decline", SENT, kwargs=key, method="post", data=lambda w: {"why": "not in spring"}),
    Row(
        "reports:landholder_withdraw",
        SENT,
        kwargs=lambda w: {"key": "", "pk": w.permission.pk},
        method="post",
        data=lambda w: {"words": "ewes"},
    ),
]
