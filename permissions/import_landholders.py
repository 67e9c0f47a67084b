"""What the rows of a table of landholders would become: new landholders, and their say over sites that are here."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people.models import User
from people.tables import whole_name
from permissions.import_fields import LANDHOLDER_FIELDS
from permissions.models import Landholder, Site
from permissions.models.site import Capacity
from web.tables.errors import CellError
from web.tables.match import Matched
from web.tables.plan import Coming, Plan, Reading
from web.tables.rows import Row
from web.tables.values import read_choice, read_date, read_list

COPIED = ("contact_name", "email", "phone", "address", "notes", "held_why")
_LINES = {"address", "notes"}
CAPACITIES = {
    "owner": Capacity.OWNER,
    "eigenaar": Capacity.OWNER,
    "occupier": Capacity.OCCUPIER,
    "tenant": Capacity.OCCUPIER,
    "occupier (tenant)": Capacity.OCCUPIER,
    "pachter": Capacity.OCCUPIER,
    "huurder": Capacity.OCCUPIER,
    "gebruiker": Capacity.OCCUPIER,
    "sporting tenant": Capacity.SPORTING_TENANT,
    "shooting tenant": Capacity.SPORTING_TENANT,
    "jachthouder": Capacity.SPORTING_TENANT,
    "informed only": Capacity.INFORMED_ONLY,
    "informed": Capacity.INFORMED_ONLY,
    "ter informatie": Capacity.INFORMED_ONLY,
    "agent": Capacity.AGENT,
    "rentmeester": Capacity.AGENT,
}


def plan_landholders(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Plan:
    """Judge every row for `by` as things stand at `at`. A few queries, however many rows."""
    plan = Plan(problems=list(matched.problems))
    here = _Here(by)
    for row in matched.rows:
        reading = Reading(row.line, dict(row.cells), dict(matched.headers))
        coming = _coming(reading, row, answers, here, today=localdate(at))
        plan.problems += reading.problems
        if coming is not None and not reading.problems:
            plan.add(coming)
    plan.problems.sort(key=lambda problem: problem.line)
    return plan


class _Here:
    """Landholders and sites there are, and those of this file as they come."""

    def __init__(self, by: User) -> None:
        self.sites = {
            site.code.casefold(): site
            for site in Site.objects.visible_to(by).only("code", "name", "retired_on")
        }
        rows = Landholder.objects.visible_to(by).filter(erased_on=None).prefetch_related("parties")
        self.named: dict[str, list[Landholder]] = {}
        self.mailed: dict[str, Landholder] = {}
        for row in rows:
            self.named.setdefault(row.name.casefold(), []).append(row)
            if row.email:
                self.mailed[row.email.casefold()] = row
        self.coming: dict[str, list[Coming]] = {}

    def landholder(self, values: Mapping[str, Any]) -> Landholder | None:
        """The one who is here already: of the same name, and nothing in the row says that it is another."""
        same = [row for row in self.named.get(values["name"].casefold(), ()) if _is_same(vars(row), values)]
        return same[0] if same else None

    def earlier(self, values: Mapping[str, Any]) -> Coming | None:
        """The row above that is the same landholder, such as one row for each field."""
        rows = self.coming.get(values["name"].casefold(), ())
        return next((row for row in rows if _is_same(row.values, values)), None)


def _is_same(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Of two of one name: the same address for letters or mail makes them one, another makes them two."""
    mails = (one["email"].casefold(), other["email"].casefold())
    if all(mails) and mails[0] == mails[1]:
        return True
    postcode = other["postcode"].replace(" ", "").casefold()
    address = one["address"].replace(" ", "").casefold()
    if postcode and address:
        return postcode in address
    return not all(mails)


def _coming(
    reading: Reading, row: Row, answers: Mapping[str, Any], here: _Here, *, today: date
) -> Coming | None:
    values = _values(reading, row, answers, today)
    parties = _parties(reading, here, answers)
    if reading.problems:
        return None
    earlier = here.earlier(values)
    if earlier is not None:
        _join(earlier, parties, values, reading.line)
        return None
    there = here.landholder(values)
    coming = Coming(reading.line, values["name"], values=values, there=there)
    values["parties"] = []
    here.coming.setdefault(values["name"].casefold(), []).append(coming)
    coming.says = [values[key] for key in ("email", "phone", "postcode") if values[key]]
    _join(coming, parties, values, reading.line)
    if there is not None:
        coming.differs = [_label(key) for key in COPIED if _differs(there, key, values)]
    elif (other := here.mailed.get(values["email"].casefold())) is not None and values["email"]:
        coming.warnings.append(
            _("%(name)s is here already with the address %(email)s; this becomes another landholder.")
            % {"name": other.name, "email": other.email}
        )
    return coming


def _differs(there: Landholder, key: str, values: Mapping[str, Any]) -> bool:
    if key in {"notes", "held_why"} or not values[key]:
        return False
    return bool(values[key].split() != getattr(there, key).split())


def _values(reading: Reading, row: Row, answers: Mapping[str, Any], today: date) -> dict[str, Any]:
    values: dict[str, Any] = {
        key: row.cells.get(key, "").strip() if key in _LINES else reading.text(key) for key in COPIED
    }
    values["name"] = whole_name(row, answers.get("name_order", ""))
    values["postcode"] = reading.text("postcode")
    if values["postcode"] and values["postcode"] not in values["address"]:
        values["address"] = f"{values['address']}\n{values['postcode']}".strip()
    if not values["name"]:
        reading.wrong("name", _("There is no name; every row needs one."))
    values["email"] = values["email"].removeprefix("mailto:")
    if values["email"]:
        _check_email(reading, values["email"])
    values["held_since"] = _since(reading, answers) or today
    for key in ("name", *COPIED):
        most = Landholder._meta.get_field(key).max_length  # type: ignore[union-attr]
        if most and len(values[key]) > most:
            reading.wrong(key, _("This is longer than %(most)s letters; shorten it.") % {"most": most})
    return values


def _check_email(reading: Reading, email: str) -> None:
    try:
        validate_email(email)
    except ValidationError:
        reading.wrong(
            "email", _("“%(text)s” is no e-mail address; mend it or empty the cell.") % {"text": email}
        )


def _since(reading: Reading, answers: Mapping[str, Any]) -> date | None:
    text = reading.text("held_since")
    try:
        return read_date(text, order=answers.get("day_order", "")) if text else None
    except CellError as error:
        reading.wrong("held_since", str(error))
        return None


def _parties(reading: Reading, here: _Here, answers: Mapping[str, Any]) -> list[tuple[Site, str]]:
    """The sites of a row, each with the capacity in which the landholder has a say."""
    codes = read_list(reading.cells.get("sites", ""))
    capacity = _capacity(reading, answers)
    if codes and capacity == Capacity.AGENT:
        reading.wrong(
            "capacity",
            _(
                "An agent acts for somebody; leave the sites empty here, and name both on the page of the site."
            ),
        )
    found = []
    for code in codes:
        site = here.sites.get(code.casefold())
        if site is None:
            reading.wrong(
                "sites",
                _("No site has the code “%(code)s”; import the sites first, or empty the cell.")
                % {"code": code},
            )
        else:
            found.append((site, capacity))
    return found


def _capacity(reading: Reading, answers: Mapping[str, Any]) -> str:
    text = reading.text("capacity")
    if not text:
        return str(answers.get("capacity") or Capacity.OWNER.value)
    try:
        return str(read_choice(text, CAPACITIES).value)
    except CellError as error:
        reading.wrong("capacity", str(error))
        return ""


def _join(coming: Coming, parties: Iterable[tuple[Site, str]], values: Mapping[str, Any], line: int) -> None:
    """Give a landholder the say over these sites, those left out that it has or had already."""
    listed = coming.values["parties"]
    had = {(p.site_id, p.capacity) for p in coming.there.parties.all()} if coming.there else set()
    for site, capacity in parties:
        if (site.pk, capacity) in had or any((s.pk, c) == (site.pk, capacity) for s, c in listed):
            continue
        listed.append((site, capacity))
        said = _("%(capacity)s of %(site)s") % {"capacity": Capacity(capacity).label, "site": site.code}
        (coming.adds if coming.there else coming.says).append(said)
    other = [_label(k) for k in COPIED if values[k] and values[k] != coming.values[k] and k != "held_why"]
    if other:
        coming.warnings.append(
            _(
                "Line %(line)s is the same landholder and says something else under %(fields)s; the first line counts."
            )
            % {"line": line, "fields": ", ".join(other)}
        )


def _label(key: str) -> str:
    return next(str(field.label) for field in LANDHOLDER_FIELDS if field.key == key)
