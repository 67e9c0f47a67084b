"""What the pages of agreements show: the text, who is asked, who has signed, and the signer's own page."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from permissions.landholder_page import code_of
from permissions.models import Consent, Landholder, Permission
from permissions.states import State
from reports.agreements import (
    digest_of,
    draft_of,
    is_current,
    latest_issue,
    newer_request,
    signed_text,
    signers_of,
    statement_of,
)
from reports.content import from_data
from reports.models import AgreementIssue, SignatureRequest
from reports.sign_forms import DeclineForm, SendForm, SignForm, WithdrawForm
from reports.sign_links import sign_key_of


@dataclass(frozen=True)
class RequestRow:
    """One request as the secretary sees it; the address while it can still be signed."""

    request: SignatureRequest
    who: str
    status: str
    word: str
    address: str = ""
    code: SafeString | None = None


def request_row(row: SignatureRequest, *, at: datetime, absolute: Callable[[str], str]) -> RequestRow:
    role = (
        _("agent for %(row_acts_for)s") % {"row_acts_for": row.acts_for}
        if row.acts_for
        else row.get_capacity_display().lower()
    )
    who = f"{row.landholder.name}, {role}"
    if (signature := getattr(row, "signature", None)) is not None:
        return RequestRow(
            row,
            who,
            "done",
            _("Signed %(day)s by %(signature_name)s")
            % {"day": _day(signature.signed_at), "signature_name": signature.name},
        )
    if row.revoked_at is not None:
        return RequestRow(row, who, "plain", _("Taken back %(day)s") % {"day": _day(row.revoked_at)})
    if row.expires_at <= at:
        return RequestRow(
            row, who, "late", _("The address worked until %(day)s") % {"day": _day(row.expires_at)}
        )
    address = absolute(reverse("reports:sign", args=[sign_key_of(row)]))
    if row.declined_at is not None:
        return RequestRow(
            row,
            who,
            "shut",
            _("Declined %(day)s") % {"day": _day(row.declined_at)},
            address,
            code_of(address),
        )
    opened = _("opened %(day)s, ") % {"day": _day(row.opened_at)} if row.opened_at else ""
    word = _("Not signed yet; %(opened)sworks until %(day)s") % {
        "opened": opened,
        "day": _day(row.expires_at),
    }
    return RequestRow(row, who, "ask", word, address, code_of(address))


def _day(moment: datetime) -> str:
    return date_format(localtime(moment), "j M Y")


def _requests(issue: AgreementIssue) -> QuerySet[SignatureRequest]:
    return issue.requests.select_related("landholder", "signature")


def send_form(permission: Permission, on: date, data: Any = None) -> SendForm:
    """The form that sends the text as it stands on `on`; it knows the text that it was shown with."""
    return SendForm(data, signers=signers_of(permission, on), report=draft_of(permission, on))


def agreement_context(
    permission: Permission, form: SendForm, *, at: datetime, absolute: Callable[[str], str]
) -> dict[str, Any]:
    """The text as it would be sent, the last issue with its requests, and the form to send it."""
    last = latest_issue(permission)
    return {
        "permission": permission,
        "report": form.report,
        "photo_urls": {},
        "form": form,
        "last": last,
        "is_new": last is None or last.number != form.report.number,
        "rows": [request_row(r, at=at, absolute=absolute) for r in (_requests(last) if last else ())],
        "issues": AgreementIssue.objects.filter(permission=permission).select_related("issued_by"),
    }


def issued_context(issue: AgreementIssue, *, at: datetime, absolute: Callable[[str], str]) -> dict[str, Any]:
    """One issue as it was sent, and what was signed under it."""
    rows = [request_row(r, at=at, absolute=absolute) for r in _requests(issue)]
    return {"issue": issue, "report": from_data(issue.content), "photo_urls": {}, "rows": rows}


def sign_context(
    row: SignatureRequest, key: str, *, at: datetime, absolute: Callable[[str], str], **forms: Any
) -> dict[str, Any]:
    """The signer's page: what was signed; or the text with its form; or that it is out of date, and the new one."""
    on, statement = localdate(at), statement_of(row)
    signature = getattr(row, "signature", None)
    context: dict[str, Any] = {
        "row": row,
        "key": key,
        "issue": row.issue,
        "report": from_data(row.issue.content),
        "photo_urls": {},
        "signature": signature,
        "strokes": stroke_paths(signature.drawn) if signature else [],
        "outdated": signature is None and not is_current(row.issue, on),
    }
    if context["outdated"]:
        newer = newer_request(row, on)
        live = newer if newer is not None and newer.expires_at > at else None
        context["newer_url"] = absolute(reverse("reports:sign", args=[sign_key_of(live)])) if live else ""
    elif signature is None:
        initial = {"read_sha256": digest_of(signed_text(row))}
        context["form"] = forms.get("form") or SignForm(statement=statement, initial=initial)
        context["decline_form"] = forms.get("decline_form") or DeclineForm(auto_id="decline-%s")
    return context


def stroke_paths(strokes: Iterable[list[list[int]]]) -> list[str]:
    """Each stroke as the points of an SVG polyline, three times as wide as high."""
    return [" ".join(f"{x * 3},{y}" for x, y in stroke) for stroke in strokes]


def consented(landholder: Landholder) -> QuerySet[Permission]:
    """Permissions to which this landholder has ever said yes."""
    given = Consent.objects.filter(landholder=landholder, given_on__isnull=False)
    return Permission.objects.filter(consents__in=given).distinct()


def withdrawable(
    landholder: Landholder, on: date, tried: dict[int, WithdrawForm] | None = None
) -> list[dict[str, Any]]:
    """Permissions to which this landholder's consent stands or is to begin, each with the form to withdraw it.

    `tried` holds the form that could not be taken, by its permission.
    """
    tried = tried or {}
    given = Consent.objects.filter(landholder=landholder, given_on__isnull=False, withdrawn_on__isnull=True)
    rows = Permission.objects.filter(consents__in=given.exclude(ends__lt=on))
    standing = rows.exclude(state__in=[State.ENDED, State.REFUSED]).distinct()
    return [
        {"permission": p, "form": tried.get(p.pk) or withdraw_form(p.pk), "open": p.pk in tried}
        for p in standing
    ]


def withdraw_form(permission_id: int, data: Any = None) -> WithdrawForm:
    """The form for one permission, with identifiers of its own beside the others on the page."""
    return WithdrawForm(data, auto_id=f"withdraw-{permission_id}-%s")
