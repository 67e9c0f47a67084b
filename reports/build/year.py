"""The report on a season: the club's own, and the summary for one landholder."""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Q

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
from web.templatetags.stubble import area

RENEW_WITHIN_DAYS = 120
MONTHS = (8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6, 7)  # a season runs from August to July
CASE_WORDS = {
    "flagged": "found and with the committee",
    "under review": "looked into by the committee",
    "no duty": "looked into: no duty found",
    "reported": "reported to the authority",
    "acknowledged": "acknowledged by the authority",
    "decided": "decided by the authority",
    "closed": "closed",
}


def year_report(year: int, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the report on the season that began in `year`, dated `on`: the club's, or the landholder's own land."""
    club = Club.objects.filter(pk=1).first() or Club(name="The club")
    figures = year_figures(year, landholder)
    blocks = [*_visits(figures, club), *_finds(figures), *_law_and_money(figures)]
    blocks += _ground_and_care(figures)
    blocks += _thanks_to(club) if landholder else _club_only(figures, year, on)
    return Report(
        kind="year",
        number=number,
        title=f"Season {season_words(year)}",
        subtitle=f"The season on your land, for {landholder.name}" if landholder else "Report of the club",
        club=club.name,
        issued_on=on,
        facts=_facts(figures, club),
        blocks=tuple(blocks),
    )


def _facts(figures: YearFigures, club: Club) -> tuple[Fact, ...]:
    hours, people = sum(figures.hours.values()), sum(figures.came.values())
    return (
        Fact("From and to", f"{figures.first:%-d %b %Y} to {figures.last:%-d %b %Y}"),
        Fact("Visits", f"{len(figures.hunts)} to {len(figures.sites)} fields{_entered_later(figures)}"),
        Fact("People's visits", f"{people}, by {figures.different_people} members and their guests"),
        Fact("Hours in the field", f"{number_words(round(hours, 1))}, all people together"),
        Fact("Ground searched", area(figures.searched_m2, club.units)),
        Fact("Finds recorded", f"{figures.find_total} records, {figures.objects} objects"),
    )


def _entered_later(figures: YearFigures) -> str:
    later = sum(hunt.is_past_outing for hunt in figures.hunts)
    return f", {later} entered later from older records, without people, hours and holes" if later else ""


def _chart(bars: Sequence[Bar], title: str, unit: str = "") -> list[Block]:
    """A picture with its words; nothing where every bar is nought."""
    if not any(value for _, value in bars):
        return []
    alt = f"Bar chart: {title}. {bars_in_words(bars)}. The same numbers stand in the table."
    return [MapBlock(bar_chart(bars, title=title, unit=unit), alt)]


def _visits(figures: YearFigures, club: Club) -> list[Block]:
    blocks: list[Block] = [Heading("Visits")]
    if not figures.hunts:
        return [*blocks, Paragraph("There was no visit in this season.")]
    months = [(month, [h for h in figures.hunts if h.on.month == month]) for month in MONTHS]
    bars = [(f"{date(2000, month, 1):%B}", len(hunts)) for month, hunts in months]
    blocks += _chart(bars, "Visits by month")
    columns = (Column("Month"), *(Column(name, numeric=True) for name in ("Visits", "People", "Hours")))
    rows = tuple(_month_row(f"{date(2000, m, 1):%B}", hunts, figures) for m, hunts in months if hunts)
    total = _month_row("All", figures.hunts, figures)
    blocks.append(Table("Visits by month", columns, (*rows, total)))
    if figures.tracks:
        drawn = area(figures.covered_m2, club.units)
        blocks.append(
            Paragraph(f"{figures.tracks} tracks were kept; together they cover {drawn}, each spot once.")
        )
    return blocks


def _month_row(name: str, hunts: Sequence[Hunt], figures: YearFigures) -> tuple[str, ...]:
    people = sum(figures.came.get(hunt.pk, 0) for hunt in hunts)
    hours = sum(figures.hours.get(hunt.pk, 0.0) for hunt in hunts)
    return name, str(len(hunts)), str(people), f"{hours:,.1f}"


def _finds(figures: YearFigures) -> list[Block]:
    blocks: list[Block] = [Heading("What was found")]
    if not figures.find_total:
        return [*blocks, Paragraph("Nothing was kept for recording.")]
    for title, counted in (
        ("Finds by period", by_period(figures.finds)),
        ("Finds by material", by_material(figures.finds)),
    ):
        blocks += [Heading(title, 3), *_chart(counted, title)]
        rows = tuple((label, str(count)) for label, count in counted)
        blocks.append(
            Table(title, (Column(title.split()[-1].capitalize()), Column("Records", numeric=True)), rows)
        )
    made = f"{figures.records_made} records were made in the season, those of earlier finds among them."
    return [*blocks, Paragraph(f"{made} A find of two materials counts under both.")]


def _law_and_money(figures: YearFigures) -> list[Block]:
    items = [f"{CASE_WORDS.get(state, state)}: {count}" for state, count in figures.cases]
    if figures.earlier_cases:
        items.append(f"from earlier seasons and still running: {figures.earlier_cases}")
    blocks: list[Block] = [Heading("What may have to be reported by law")]
    blocks.append(Bullets(tuple(items)) if items else Paragraph("No find raised a question."))
    money = [
        f"{sum_in_words(amount, currency)} paid under settlements" for currency, amount in figures.shared
    ]
    money += [f"{sum_in_words(amount, currency)} in rewards" for currency, amount in figures.rewards]
    words = "; ".join(money) or "Nothing was paid in this season"
    return [*blocks, Heading("Value shared with landholders"), Paragraph(f"{words}.")]


def _ground_and_care(figures: YearFigures) -> list[Block]:
    open_holes = figures.holes - figures.filled
    holes = f"{figures.filled} of {figures.holes} holes are filled" if figures.holes else "No hole was dug"
    items = [f"{holes}{f'; {open_holes} not yet' if open_holes else ''}."]
    scrap = f"{_kilograms(figures.scrap_kg)} kg of scrap and iron were taken off the land"
    aside = f"; on {figures.not_weighed} visits it was not weighed" if figures.not_weighed else ""
    items.append(f"{scrap}{aside}.")
    said = "; ".join(f"{kind.lower()}: {count}" for kind, count in figures.incidents)
    items.append(f"Incidents noted: {said}." if said else "No incident was noted.")
    return [Heading("Holes, scrap and incidents"), Bullets(tuple(items))]


def _kilograms(amount: Decimal) -> str:
    return f"{amount:,.2f}".rstrip("0").rstrip(".")


def to_renew(on: date) -> list[Permission]:
    """Permissions in force whose last day, or the last day of a consent, comes within four months of `on`."""
    until = on + timedelta(RENEW_WITHIN_DAYS)
    ending = Q(ends__range=(on, until)) | Q(
        consents__ends__range=(on, until), consents__withdrawn_on=None, consents__given_on__isnull=False
    )
    return list(
        Permission.objects.filter(ending, state=State.GRANTED).distinct().order_by("ends", "reference")
    )


def _club_only(figures: YearFigures, year: int, on: date) -> list[Block]:
    """What only the club reads: permissions to renew, and whom to thank, by farm and not by name."""
    rows = tuple(
        (row.reference, row.title, long_day(row.ends) if row.ends else "open-ended; a consent ends")
        for row in to_renew(on)
    )
    columns = (Column("Reference"), Column("Permission"), Column("Last day"))
    blocks: list[Block] = [Heading("Permissions to renew")]
    within = f"within {RENEW_WITHIN_DAYS} days of {long_day(on)}"
    blocks.append(
        Table(f"Permissions or consents that end {within}", columns, rows)
        if rows
        else Paragraph(f"None ends {within}.")
    )
    farms = sorted({site.holding or site.name for site in figures.sites})
    if farms:
        owed = to_thank(year)
        done = sum(row.thanks is not None for row in owed)
        words = f"Our thanks go to those who let us search: {', '.join(farms)}."
        words += f" {done} of {len(owed)} have been thanked."
        blocks += [Heading("Thanks"), Paragraph(words)]
    return blocks


def _thanks_to(club: Club) -> list[Block]:
    words = f"Thank you for letting us search your land. {club.name}"
    if club.address:
        words += f"\n{club.address}"
    return [Heading("Thank you"), Paragraph(words)]
