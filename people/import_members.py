"""What the rows of a table of members would become: new accounts, and memberships and insurances of people here."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people.import_fields import MEMBER_FIELDS
from people.models import User
from people.tables import whole_name
from web.tables.errors import CellError
from web.tables.match import Matched
from web.tables.plan import Coming, Plan, Reading
from web.tables.rows import Row
from web.tables.values import read_date

DETAILS = ("name", "phone", "emergency_contact", "vehicle")
LEAVE_OUT = "leave_out"
_DAY = timedelta(days=1)


def plan_members(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Plan:
    """Judge every row for `by` as things stand at `at`. Four queries, however many rows."""
    plan = Plan(problems=list(matched.problems))
    here = _here(by)
    lines: dict[str, int] = {}
    for row in matched.rows:
        if not row.cells.get("email") and answers.get("no_email") == LEAVE_OUT:
            plan.left_out += 1
            continue
        reading = Reading(row.line, dict(row.cells), dict(matched.headers))
        coming = _coming(reading, row, answers, here, lines, today=localdate(at))
        plan.problems += reading.problems
        if not reading.problems:
            plan.add(coming)
    plan.problems.sort(key=lambda problem: problem.line)
    _warn_of_names(plan, here)
    return plan


def _here(by: User) -> dict[str, User]:
    people = User.objects.visible_to(by).prefetch_related("memberships", "insurances")
    return {person.email.casefold(): person for person in people}


def _coming(
    reading: Reading,
    row: Row,
    answers: Mapping[str, Any],
    here: Mapping[str, User],
    lines: dict[str, int],
    *,
    today: date,
) -> Coming:
    name, email = whole_name(row, answers.get("name_order", "")), _email(reading, lines)
    if not name:
        reading.wrong("name", _("There is no name; every row needs one."))
    order = answers.get("day_order", "")
    days = {key: _day(reading, key, order) for key in ("starts", "ends", "insured_until")}
    details = {key: reading.text(key) for key in DETAILS[1:]}
    there = here.get(email)
    values: dict[str, Any] = {"email": email, "name": name, **details}
    coming = Coming(reading.line, name, values=values, there=there)
    _check(reading, values)
    _membership(reading, coming, days, answers)
    _insurance(reading, coming, days["insured_until"], today, answers.get("insurer") or "")
    if there is not None:
        coming.differs = [
            _label(key) for key in DETAILS if values[key] and values[key] != getattr(there, key)
        ]
    coming.says = [text for text in (email, details["phone"], *_periods(values)) if text]
    return coming


def _email(reading: Reading, lines: dict[str, int]) -> str:
    email = reading.text("email").removeprefix("mailto:").lower()
    if not email:
        reading.wrong(
            "email",
            _(
                "There is no e-mail address, and an account needs one of its own; add it, or leave such rows out."
            ),
        )
        return ""
    try:
        validate_email(email)
    except ValidationError:
        reading.wrong("email", _("“%(text)s” is no e-mail address; mend it.") % {"text": email})
    first = lines.setdefault(email, reading.line)
    if first != reading.line:
        reading.wrong(
            "email",
            _("Line %(line)s has this address too; everybody needs one of their own.") % {"line": first},
        )
    return email


def _day(reading: Reading, key: str, order: str) -> date | None:
    text = reading.text(key)
    try:
        return read_date(text, order=order) if text else None
    except CellError as error:
        reading.wrong(key, str(error))
        return None


def _check(reading: Reading, values: Mapping[str, Any]) -> None:
    """What the record itself holds of each text: its length."""
    for key in ("email", *DETAILS):
        most = User._meta.get_field(key).max_length or 0  # type: ignore[union-attr]
        if len(values[key]) > most:
            reading.wrong(key, _("This is longer than %(most)s letters; shorten it.") % {"most": most})


def _membership(
    reading: Reading, coming: Coming, days: Mapping[str, date | None], answers: Mapping[str, Any]
) -> None:
    """A new person's first period; for who is here, a period only where the file's last day is later than theirs."""
    asked = {key: date.fromisoformat(answers[key]) for key in ("starts", "ends")}
    starts, ends = days["starts"] or asked["starts"], days["ends"] or asked["ends"]
    if coming.there is not None:
        if days["ends"] is None:
            return
        latest = max((row.ends for row in coming.there.memberships.all()), default=None)
        if latest is not None and days["ends"] <= latest:
            return
        after = latest + _DAY if latest else starts
        starts = max(after, asked["starts"]) if asked["starts"] <= ends else after
        coming.adds.append(_("membership %(days)s") % {"days": span(starts, ends)})
    elif not days["starts"] and starts > ends:
        starts = ends
    if starts > ends:
        reading.wrong(
            "ends",
            _("The last day (%(ends)s) is before the first (%(starts)s); give a later one.")
            % {"ends": words(ends), "starts": words(starts)},
        )
    coming.values |= {"starts": starts, "ends": ends}


def _insurance(reading: Reading, coming: Coming, until: date | None, today: date, usual: str) -> None:
    """Cover that the table shows, with the `usual` insurer where it names none: known from today on, until its last
    day."""
    insurer = reading.text("insurer") or usual
    if until is None or not insurer:
        if until is not None:
            reading.wrong(
                "insurer",
                _(
                    "There is a last day of the insurance and no insurer; name it here, or below the columns for all."
                ),
            )
        return
    if coming.there is not None:
        if any(row.ends >= until for row in coming.there.insurances.all()):
            return
        coming.adds.append(_("insurance until %(day)s") % {"day": words(until)})
    coming.values["insurance"] = {
        "insurer": insurer[:120],
        "policy_number": reading.text("policy_number")[:60],
        "starts": min(today, until),
        "ends": until,
    }


def _periods(values: Mapping[str, Any]) -> list[str]:
    found = []
    if "starts" in values:
        found.append(_("member %(days)s") % {"days": span(values["starts"], values["ends"])})
    if "insurance" in values:
        found.append(_("insured until %(day)s") % {"day": words(values["insurance"]["ends"])})
    return found


def _warn_of_names(plan: Plan, here: Mapping[str, User]) -> None:
    """The same name under another address may be the same person; only a person can tell."""
    named = {person.name.casefold(): person for person in here.values()}
    for row in plan.new:
        other = named.get(row.title.casefold())
        if other is not None:
            row.warnings.append(
                _("%(name)s is here already with the address %(email)s; if that is the same person, give it.")
                % {"name": other.name, "email": other.email}
            )
    for row in plan.known:
        if not row.there.is_active:
            row.warnings.append(
                _("%(name)s is here, and the account is switched off.") % {"name": row.there.name}
            )


def _label(key: str) -> str:
    return next(str(field.label) for field in MEMBER_FIELDS if field.key == key)


def words(day: date) -> str:
    return date_format(day, "j M Y")


def span(starts: date, ends: date) -> str:
    return _("%(starts)s to %(ends)s") % {"starts": words(starts), "ends": words(ends)}
