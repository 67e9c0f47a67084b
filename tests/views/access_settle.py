"""Who gets what of values, settlement sheets, papers to sign and titles; whoever holds a signer's address may sign."""

from django.utils.timezone import localdate

from finds.sheets import still_to_pay
from reports.papers import drafts_sha256, sheet_drafts
from tests.views import settle_world as made
from tests.views.access import INSIDERS, Row, who

SETTLES = who("secretary", 200)
DONE = who("secretary", 302)
ANYBODY = f"link expired anonymous stranger {INSIDERS}"


def find(world):
    return {"pk": world.find.pk}


def value(world):
    return {"on": localdate().isoformat(), "valuer": "E. Voss", "method": "seen", "low": "120"}


def fate(world):
    return {"on": localdate().isoformat(), "fate": "donated"}


def shares(world):
    return {
        "landholder_percent": "50", "organiser_percent": "0", "threshold": "0", "wording": "over",
        "rule": "whole_value", "per": "object", "way": "mean", "terms_note": "",
        f"share_{world.landholder.pk}": "100",
    }  # fmt: skip


def send(world):
    return {"days": "30", "read_sha256": drafts_sha256(sheet_drafts(made.draft(world), localdate()))}


def paid(world):
    ((payer, payee), amount) = next(iter(still_to_pay(made.settled(world)).items()))
    return {"which": f"{payer}>{payee}", "amount": str(amount), "on": localdate().isoformat(), "how": "cash"}


def off(world):
    sheet = made.draft(world)
    return {"pk": sheet.pk, "find": sheet.rows.all()[0].find_id}


def title(world):
    return {
        "kind": "transfer", "giver": f"user:{world.member.pk}", "receiver": f"landholder:{world.landholder.pk}",
        "consideration": "nothing: a gift", "effective": localdate().isoformat(), "days": "30",
    }  # fmt: skip


ROWS = [
    Row("finds:worth", who("member secretary", 200) | who("leader committee", 403), kwargs=find),
    Row("finds:valuation_add", DONE, kwargs=find, method="post", data=value, otherwise=403),
    Row("finds:fate_add", DONE, kwargs=find, method="post", data=fate, otherwise=403),
    Row("reports:sheets", who(f"stranger {INSIDERS}", 200)),
    Row("reports:sheet_new", SETTLES, otherwise=403),
    Row("reports:sheet", SETTLES, kwargs=made.pk_of(made.draft)),
    Row("reports:sheet", who("member secretary", 200), kwargs=made.pk_of(made.sent)),
    Row("reports:sheet", who("member secretary", 200), kwargs=made.pk_of(made.settled)),
    Row(
        "reports:sheet_change",
        DONE,
        kwargs=made.pk_of(made.draft),
        method="post",
        data=shares,
        otherwise=403,
    ),
    Row("reports:sheet_take_off", DONE, kwargs=off, method="post", otherwise=403),
    Row("reports:sheet_send", DONE, kwargs=made.pk_of(made.draft), method="post", data=send, otherwise=403),
    Row(
        "reports:sheet_replace",
        DONE,
        kwargs=made.pk_of(made.sent),
        method="post",
        data=lambda w: {"why": "a second opinion"},
        otherwise=403,
    ),
    Row("reports:sheet_pay", DONE, kwargs=made.pk_of(made.settled), method="post", data=paid, otherwise=403),
    Row("reports:paper", SETTLES, kwargs=made.pk_of(made.whole)),
    Row("reports:paper", who("member secretary", 200), kwargs=lambda w: {"pk": made.own(w).paper_id}),
    Row("reports:paper", SETTLES, kwargs=lambda w: {"pk": made.theirs(w).paper_id}),
    Row("reports:paper", who("member secretary", 200), kwargs=made.pk_of(made.title)),
    Row("reports:paper_pdf", who("member secretary", 200), kwargs=lambda w: {"pk": made.own(w).paper_id}),
    Row(
        "reports:paper_sign",
        who("member", 302),
        kwargs=lambda w: {"pk": made.own(w).paper_id},
        method="post",
        data=made.signing(made.own),
    ),
    Row(
        "reports:paper_dispute",
        who("member", 302),
        kwargs=lambda w: {"pk": made.own(w).paper_id},
        method="post",
        data=lambda w: {"why": "It is worth more"},
    ),
    Row("reports:titles", SETTLES, kwargs=find, otherwise=403),
    Row("reports:title_make", DONE, kwargs=find, method="post", data=title, otherwise=403),
    Row("reports:signer_revoke", DONE, kwargs=made.pk_of(made.theirs), method="post", otherwise=403),
    Row("reports:signer_renew", DONE, kwargs=made.pk_of(made.theirs), method="post", otherwise=403),
    Row(
        "reports:signer_by_hand",
        DONE,
        kwargs=made.pk_of(made.theirs),
        method="post",
        data=lambda w: {"name": "Ada Warp", "where_kept": "file 3"},
        otherwise=403,
    ),
    # A signer's address opens one paper for whoever holds it; tests/views/test_settle_pages.py tries spent ones.
    Row("reports:by_paper", who(ANYBODY, 200), kwargs=made.code),
    Row("reports:by_paper_pdf", who(ANYBODY, 200), kwargs=made.code),
    Row("reports:by_paper_photo", who(ANYBODY, 200), kwargs=made.title_photo),
    Row(
        "reports:by_paper_sign",
        who(ANYBODY, 302),
        kwargs=made.code,
        method="post",
        data=made.signing(made.theirs),
    ),
    Row(
        "reports:by_paper_dispute",
        who(ANYBODY, 302),
        kwargs=made.code,
        method="post",
        data=lambda w: {"why": "It is worth more"},
    ),
]
