"""Who gets what of Today, the reports, and the landholder's page by live and by expired link."""

from django.utils.timezone import localdate

from finds.forms.filters import season_of
from tests.views.access import INSIDERS, Row, who

ISSUERS = who("leader secretary", 200)
LINK = who("link anonymous member leader secretary committee stranger", 200) | who("expired", 410)
SENT = who("link anonymous member leader secretary committee stranger", 302) | who("expired", 410)


def hunt(world):
    return {"pk": world.hunt.pk}


def season(world):
    return {"year": season_of(localdate())}


def thanked(world):
    return season(world) | {"pk": world.landholder.pk}


def case(world):
    return {"pk": world.case.pk}


def key(world):
    return {"key": ""}


def returns(world):
    return {"key": "", "pk": world.returns.pk}


ROWS = [
    Row("today", who(f"stranger {INSIDERS}", 200)),
    Row("reports:issued_list", who("leader secretary committee", 200), otherwise=403),
    Row("reports:issued", ISSUERS, kwargs=lambda w: {"pk": w.returns.pk}),
    Row("reports:issued", who("committee", 200), kwargs=lambda w: {"pk": w.heritage.pk}),
    Row("reports:issued_pdf", ISSUERS, kwargs=lambda w: {"pk": w.returns.pk}),
    Row("reports:visit", ISSUERS, kwargs=hunt, otherwise=403),
    Row("reports:holes", ISSUERS, kwargs=hunt, otherwise=403),
    Row("reports:returns", ISSUERS, kwargs=hunt, otherwise=403),
    Row("reports:heritage", who("committee", 200), kwargs=case, otherwise=403),
    Row(
        "reports:issue",
        who("leader secretary", 302),
        kwargs=lambda w: {"kind": "visit", "pk": w.hunt.pk},
        method="post",
        otherwise=403,
    ),
    Row("reports:visit_draft", who("leader secretary", 200), kwargs=hunt, otherwise=403),
    # The hunt still runs: the form says that its report is written when it is closed.
    Row("reports:visit_draft", who("leader secretary", 200), kwargs=hunt, method="post", otherwise=403),
    Row(
        "reports:issue_all",
        who("leader secretary", 302),
        kwargs=lambda w: {"kind": "holes", "pk": w.hunt.pk},
        method="post",
        otherwise=403,
    ),
    Row("reports:year_now", who("leader secretary", 302), otherwise=403),
    Row("reports:year", ISSUERS, kwargs=season, otherwise=403),
    Row("reports:issue_year", who("leader secretary", 302), kwargs=season, method="post", otherwise=403),
    Row("reports:thanks", who("secretary", 200), kwargs=season, otherwise=403),
    Row("reports:thank", who("secretary", 200), kwargs=thanked, otherwise=403),
    Row(
        "reports:thank",
        who("secretary", 302),
        kwargs=thanked,
        method="post",
        data=lambda w: {"how": "a card", "on": localdate().isoformat()},
        otherwise=403,
    ),
    Row("reports:issue_heritage", who("committee", 302), kwargs=case, method="post", otherwise=403),
    Row("reports:answers", who("secretary", 200), otherwise=403),
    Row(
        "reports:concern_settle",
        who("secretary", 302),
        kwargs=lambda w: {"pk": w.answer.pk},
        method="post",
        data=lambda w: {"words": "mended"},
        otherwise=403,
    ),
    # Whoever holds the address may read: that is what a private link means. An expired one shows nothing.
    Row("reports:landholder", LINK, kwargs=key),
    Row("reports:landholder_mail", LINK, kwargs=key),
    Row("reports:landholder_mail", SENT, kwargs=key, method="post", data=lambda w: {"report": "on"}),
    Row("reports:landholder_report", LINK, kwargs=returns),
    Row(
        "reports:landholder_report",
        who("expired", 410) | who(f"link anonymous stranger {INSIDERS}", 404),
        kwargs=lambda w: {"key": "", "pk": w.heritage.pk},
    ),
    Row("reports:landholder_report_pdf", LINK, kwargs=returns),
    Row("reports:landholder_photo", LINK, kwargs=lambda w: returns(w) | {"photo": f"find-{w.photo.pk}"}),
    Row(
        "reports:landholder_photo",
        who("expired", 410) | who(f"link anonymous stranger {INSIDERS}", 404),
        kwargs=lambda w: returns(w) | {"photo": "find-999999"},
    ),
    Row("reports:landholder_code", LINK, kwargs=key),
    Row("reports:landholder_code", LINK, kwargs=key, method="post", data=lambda w: {"code": "1234 5678"}),
    Row("reports:landholder_code_send", SENT, kwargs=key, method="post"),
    # Papers to sign ask for a code, whoever comes.
    Row("reports:landholder_papers", SENT, kwargs=key),
    Row(
        "reports:landholder_find_photo",
        LINK,
        kwargs=lambda w: {"key": "", "pk": w.photo.pk, "size": "small"},
    ),
    Row(
        "reports:landholder_find_photo",
        who("expired", 410) | who(f"link anonymous stranger {INSIDERS}", 404),
        kwargs=lambda w: {"key": "", "pk": 999999, "size": "small"},
    ),
    Row(
        "reports:landholder_question",
        SENT,
        kwargs=key,
        method="post",
        data=lambda w: {"words": "what is in the box?"},
    ),
    Row(
        "reports:landholder_invite",
        SENT,
        kwargs=key,
        method="post",
        data=lambda w: {"words": "after the barley"},
    ),
    Row(
        "reports:landholder_confirm",
        SENT,
        kwargs=returns,
        method="post",
        data=lambda w: {"received": "confirmed", "signed_name": "Ada Warp"},
    ),
    Row(
        "reports:landholder_concern",
        SENT,
        kwargs=key,
        method="post",
        data=lambda w: {"words": "a gate stood open"},
    ),
    Row(
        "reports:landholder_pause",
        SENT,
        kwargs=lambda w: {"key": "", "pk": w.permission.pk},
        method="post",
        data=lambda w: {"words": "lambing"},
    ),
]
