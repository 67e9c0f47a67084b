"""The report on a season: the club's own, and the summary for one landholder."""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import Min, Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.forms.filters import season_words
from finds.patterns import by_material, by_period
from finds.sheets import sum_in_words
from hunts.models import Hunt
from people.models import Club
from permissions.models import Landholder, Permission
from permissions.states import State
from reports.blocks import Block, Bullets, Column, Fact, Heading, MapBlock, Paragraph, Report, Table
from reports.build.common import long_day
from reports.build.thanks import to_thank
from reports.build.year_figures import YearFigures, year_figures
from reports.charts import Bar, bar_chart, bars_in_words, number_words
from tongue import figure, noop
from web.templatetags.stubble import area

RENEW_WITHIN_DAYS = 120
MONTHS = (8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6, 7)  # a season runs from August to July
CASE_WORDS = {
    "flagged": noop("found and with the committee"),
    "under review": noop("looked into by the committee"),
    "no duty": noop("looked into: no duty found"),
    "reported": noop("reported to the authority"),
    "acknowledged": noop("acknowledged by the authority"),
    "decided": noop("decided by the authority"),
    "closed": noop("closed"),
}


def year_report(year: int, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the report on the season that began in `year`, dated `on`: the club's, or the landholder's own land."""
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    figures = year_figures(year, landholder)
    blocks = [*_visits(figures, club), *_finds(figures), *_law_and_money(figures)]
    blocks += _ground_and_care(figures)
    blocks += _thanks_to(club) if landholder else _club_only(figures, year, on)
    return Report(
        kind="year",
        number=number,
        title=_("Season %(season_words)s") % {"season_words": season_words(year)},
        subtitle=_("The season on your land, for %(landholder_name)s") % {"landholder_name": landholder.name}
        if landholder
        else _("Report of the club"),
        club=club.name,
        issued_on=on,
        facts=_facts(figures, club),
        blocks=tuple(blocks),
    )


def _facts(figures: YearFigures, club: Club) -> tuple[Fact, ...]:
    hours, people = sum(figures.hours.values()), sum(figures.came.values())
    return (
        Fact(
            _("From and to"),
            _("%(figures_first)s to %(figures_last)s")
            % {
                "figures_first": date_format(figures.first, "j M Y"),
                "figures_last": date_format(figures.last, "j M Y"),
            },
        ),
        Fact(
            _("Visits"),
            _("%(figures_hunts)s to %(figures_sites)s fields%(entered_later)s")
            % {
                "figures_hunts": len(figures.hunts),
                "figures_sites": len(figures.sites),
                "entered_later": _entered_later(figures),
            },
        ),
        Fact(
            _("People's visits"),
            _("%(people)s, by %(figures_different_people)s members and their guests")
            % {"people": people, "figures_different_people": figures.different_people},
        ),
        Fact(
            _("Hours in the field"),
            _("%(number_words)s, all people together") % {"number_words": number_words(round(hours, 1))},
        ),
        Fact(_("Ground searched"), area(figures.searched_m2, club.units)),
        Fact(
            _("Finds recorded"),
            _("%(figures_find_total)s records, %(figures_objects)s objects")
            % {"figures_find_total": figures.find_total, "figures_objects": figures.objects},
        ),
    )


def _entered_later(figures: YearFigures) -> str:
    later = sum(hunt.is_past_outing for hunt in figures.hunts)
    return (
        _(", %(later)s entered later from older records, without people, hours and holes") % {"later": later}
        if later
        else ""
    )


def _chart(bars: Sequence[Bar], title: str, unit: str = "") -> list[Block]:
    """A picture with its words; nothing where every bar is nought."""
    if not any(value for _label, value in bars):
        return []
    alt = _("Bar chart: %(title)s. %(bars_in_words)s. The same numbers stand in the table.") % {
        "title": title,
        "bars_in_words": bars_in_words(bars),
    }
    return [MapBlock(bar_chart(bars, title=title, unit=unit), alt)]


def _visits(figures: YearFigures, club: Club) -> list[Block]:
    blocks: list[Block] = [Heading(_("Visits"))]
    if not figures.hunts:
        return [*blocks, Paragraph(_("There was no visit in this season."))]
    months = [(month, [h for h in figures.hunts if h.on.month == month]) for month in MONTHS]
    bars = [(date_format(date(2000, month, 1), "F"), len(hunts)) for month, hunts in months]
    blocks += _chart(bars, _("Visits by month"))
    columns = (
        Column(_("Month")),
        *(Column(name, numeric=True) for name in (_("Visits"), _("People"), _("Hours"))),
    )
    rows = tuple(
        _month_row(date_format(date(2000, m, 1), "F"), hunts, figures) for m, hunts in months if hunts
    )
    total = _month_row(_("All"), figures.hunts, figures)
    blocks.append(Table(_("Visits by month"), columns, (*rows, total)))
    if figures.tracks:
        drawn = area(figures.covered_m2, club.units)
        blocks.append(
            Paragraph(
                _("%(figures_tracks)s tracks were kept; together they cover %(drawn)s, each spot once.")
                % {"figures_tracks": figures.tracks, "drawn": drawn}
            )
        )
    return blocks


def _month_row(name: str, hunts: Sequence[Hunt], figures: YearFigures) -> tuple[str, ...]:
    people = sum(figures.came.get(hunt.pk, 0) for hunt in hunts)
    hours = sum(figures.hours.get(hunt.pk, 0.0) for hunt in hunts)
    return name, str(len(hunts)), str(people), figure(f"{hours:,.1f}")


def _finds(figures: YearFigures) -> list[Block]:
    blocks: list[Block] = [Heading(_("What was found"))]
    if not figures.find_total:
        return [*blocks, Paragraph(_("Nothing was kept for recording."))]
    for title, what, counted in (
        (_("Finds by period"), _("Period"), by_period(figures.finds)),
        (_("Finds by material"), _("Material"), by_material(figures.finds)),
    ):
        blocks += [Heading(title, 3), *_chart(counted, title)]
        rows = tuple((label, str(count)) for label, count in counted)
        blocks.append(Table(title, (Column(what), Column(_("Records"), numeric=True)), rows))
    made = _(
        "%(figures_records_made)s records were made in the season, those of earlier finds among them."
    ) % {"figures_records_made": figures.records_made}
    return [*blocks, Paragraph(_("%(made)s A find of two materials counts under both.") % {"made": made})]


def _law_and_money(figures: YearFigures) -> list[Block]:
    items = [f"{_(CASE_WORDS.get(state, state))}: {count}" for state, count in figures.cases]
    if figures.earlier_cases:
        items.append(
            _("from earlier seasons and still running: %(figures_earlier_cases)s")
            % {"figures_earlier_cases": figures.earlier_cases}
        )
    blocks: list[Block] = [Heading(_("What may have to be reported by law"))]
    blocks.append(Bullets(tuple(items)) if items else Paragraph(_("No find raised a question.")))
    money = [
        _("%(sum_in_words)s paid under settlements") % {"sum_in_words": sum_in_words(amount, currency)}
        for currency, amount in figures.shared
    ]
    money += [
        _("%(sum_in_words)s in rewards") % {"sum_in_words": sum_in_words(amount, currency)}
        for currency, amount in figures.rewards
    ]
    words = "; ".join(money) or _("Nothing was paid in this season")
    return [*blocks, Heading(_("Value shared with landholders")), Paragraph(f"{words}.")]


def _ground_and_care(figures: YearFigures) -> list[Block]:
    open_holes = figures.holes - figures.filled
    holes = (
        _("%(figures_filled)s of %(figures_holes)s holes are filled")
        % {"figures_filled": figures.filled, "figures_holes": figures.holes}
        if figures.holes
        else _("No hole was dug")
    )
    items = [f"{holes}{_('; %(open_holes)s not yet') % {'open_holes': open_holes} if open_holes else ''}."]
    scrap = _("%(kilograms)s kg of scrap and iron were taken off the land") % {
        "kilograms": _kilograms(figures.scrap_kg)
    }
    aside = (
        _("; on %(figures_not_weighed)s visits it was not weighed")
        % {"figures_not_weighed": figures.not_weighed}
        if figures.not_weighed
        else ""
    )
    items.append(f"{scrap}{aside}.")
    said = "; ".join(f"{kind.lower()}: {count}" for kind, count in figures.incidents)
    items.append(_("Incidents noted: %(said)s.") % {"said": said} if said else _("No incident was noted."))
    return [Heading(_("Holes, scrap and incidents")), Bullets(tuple(items))]


def _kilograms(amount: Decimal) -> str:
    return figure(f"{amount:,.2f}".rstrip("0").rstrip("."))


class Renewal(NamedTuple):
    """A permission that ends soon, and the day it ends: a consent's last where that comes before its own."""

    permission: Permission
    day: date
    by_consent: bool


def to_renew(on: date) -> list[Renewal]:
    """Permissions in force whose last day, or that of a consent, comes within four months of `on`, the next first."""
    until = on + timedelta(RENEW_WITHIN_DAYS)
    a_consent = Q(
        consents__ends__range=(on, until), consents__withdrawn_on=None, consents__given_on__isnull=False
    )
    rows = Permission.objects.filter(state=State.GRANTED).annotate(
        consent_ends=Min("consents__ends", filter=a_consent)
    )
    ending = Q(ends__range=(on, until)) | Q(consent_ends__isnull=False)
    return sorted(
        (_renewal(row) for row in rows.filter(ending)),
        key=lambda row: (row.day, row.permission.reference),
    )


def _renewal(row: Any) -> Renewal:
    """`row`: a permission with its `consent_ends` beside it."""
    day = min(end for end in (row.ends, row.consent_ends) if end is not None)
    return Renewal(row, day, by_consent=day != row.ends)


def _end_in_words(row: Renewal) -> str:
    return _("%(day)s, a consent") % {"day": long_day(row.day)} if row.by_consent else long_day(row.day)


def _club_only(figures: YearFigures, year: int, on: date) -> list[Block]:
    """What only the club reads: permissions to renew, and whom to thank, by farm and not by name."""
    rows = tuple((row.permission.reference, row.permission.title, _end_in_words(row)) for row in to_renew(on))
    columns = (Column(_("Reference")), Column(_("Permission")), Column(_("Last day")))
    blocks: list[Block] = [Heading(_("Permissions to renew"))]
    within = _("within %(renew_within_days)s days of %(long_day)s") % {
        "renew_within_days": RENEW_WITHIN_DAYS,
        "long_day": long_day(on),
    }
    blocks.append(
        Table(_("Permissions or consents that end %(within)s") % {"within": within}, columns, rows)
        if rows
        else Paragraph(_("None ends %(within)s.") % {"within": within})
    )
    farms = sorted({site.holding or site.name for site in figures.sites})
    if farms:
        owed = to_thank(year)
        done = sum(row.thanks is not None for row in owed)
        words = _("Our thanks go to those who let us search: %(farms)s.") % {"farms": ", ".join(farms)}
        words += _(" %(done)s of %(owed)s have been thanked.") % {"done": done, "owed": len(owed)}
        blocks += [Heading(_("Thanks")), Paragraph(words)]
    return blocks


def _thanks_to(club: Club) -> list[Block]:
    words = _("Thank you for letting us search your land. %(club_name)s") % {"club_name": club.name}
    if club.address:
        words += f"\n{club.address}"
    return [Heading(_("Thank you")), Paragraph(words)]
