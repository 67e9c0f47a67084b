"""What needs one person today: clocks, lapses, people still out, holes, reports, returns, next hunts."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from people.models import User
from reports import today_ahead as ahead
from reports import today_cases as case_sections
from reports import today_custody as custody_sections
from reports import today_field as field_sections
from reports import today_keeping as keeping_sections
from reports import today_law as law_sections
from reports import today_looks as look_sections
from reports import today_mail as mail_sections
from reports import today_officer as officer_sections
from reports import today_pairs as pair_sections
from reports import today_reports as report_sections
from reports import today_sections as sections
from reports import today_settle as settle_sections
from reports import today_stops as stop_sections
from reports.today_sections import Found, Item
from tongue import noop


@dataclass(frozen=True, slots=True)
class Group:
    """One section: its first items, how many more there are, and the list that holds them all.

    `duty`: somebody's safety or the law depends on it, so its reminder cannot be turned off.
    """

    title: str
    items: list[Item]
    more: int
    url: str
    duty: bool = False

    @property
    def lines(self) -> list[Item]:
        """As the page shows them: people or things of which the same is said in the same place share a line."""
        lines: list[Item] = []
        names: list[str] = []
        for item in self.items:
            last = lines[-1] if lines else item
            said = (last.url, last.words, last.status) == (item.url, item.words, item.status)
            if lines and said and item.title not in names:
                names.append(item.title)
                lines[-1] = replace(last, title=", ".join(names))
            else:
                names = [item.title]
                lines.append(item)
        return lines

    @property
    def is_late(self) -> bool:
        return any(item.status == "late" for item in self.items)


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    find: Callable[[User, datetime], Found]
    list_name: str
    query: str = ""
    duty: bool = False

    def group(self, user: User, at: datetime) -> Group:
        found = self.find(user, at)
        url = reverse(self.list_name) + self.query
        return Group(_(self.title), found.items, max(0, found.total - len(found.items)), url, self.duty)


SECTIONS = (
    Section(noop("Stop: what to do now"), stop_sections.stops, "hunts:incident_list", duty=True),
    Section(noop("Still out"), sections.still_out, "hunts:list", duty=True),
    Section(noop("Guests still out"), field_sections.guests_out, "hunts:list", duty=True),
    Section(noop("Out alone"), field_sections.out_alone, "hunts:lone_list", duty=True),
    Section(noop("Many locked findspots looked at"), look_sections.unusual, "finds:look_list", duty=True),
    Section(noop("Clocks running"), sections.clocks, "finds:case_list", duty=True),
    Section(noop("Official limits after a report"), case_sections.late_stages, "finds:case_list", duty=True),
    Section(
        noop("“No duty” to sign second"), case_sections.second_signatures, "finds:case_list", "?whose=sign"
    ),
    Section(noop("My tasks about cases"), case_sections.tasks, "finds:case_list", "?whose=task"),
    Section(noop("Messages about cases"), case_sections.messages, "finds:case_list"),
    Section(noop("On the way home"), case_sections.way_home, "finds:case_list", "?stage=decided"),
    Section(
        noop("Heritage reports not sent yet"), officer_sections.not_sent, "reports:issued_list", duty=True
    ),
    Section(noop("Sent, and no answer"), officer_sections.no_answer, "reports:issued_list"),
    Section(noop("Visits to the officer"), officer_sections.visits, "reports:officer_visits"),
    Section(noop("Law not known"), law_sections.law_unknown, "finds:pack_list", duty=True),
    Section(noop("Rules of law changed"), law_sections.packs_changed, "finds:pack_list", duty=True),
    Section(noop("Whom to call is not entered"), stop_sections.nobody_entered, "people:club"),
    Section(noop("Letters that did not leave"), mail_sections.letters, "people:outbox"),
    Section(noop("Backups to see to"), keeping_sections.missing, "keeping:backups"),
    Section(noop("Landholders waiting for an answer"), sections.concerns, "reports:answers"),
    Section(noop("Visit reports that are late"), report_sections.reports_late, "hunts:list", "?when=past"),
    Section(noop("The gate before planned hunts"), ahead.gate_changes, "hunts:list"),
    Section(noop("Notice to give"), ahead.notice_due, "hunts:list"),
    Section(noop("The committee asks about my finds"), pair_sections.asked, "finds:list", "?whose=mine"),
    Section(noop("Pairs to look at"), pair_sections.pairs, "finds:pair_list"),
    Section(noop("Questions about my finds"), sections.questions, "finds:list", "?whose=mine"),
    Section(noop("From phones"), field_sections.from_phones, "field:parked"),
    Section(noop("Holes not filled"), sections.holes, "hunts:list"),
    Section(noop("Look again on grass"), field_sections.rechecks, "hunts:recheck_list"),
    Section(noop("Permissions and consents"), sections.consents, "permissions:permission_list"),
    Section(noop("Signatures awaited"), ahead.signatures, "permissions:permission_list"),
    Section(noop("Protected places to check again"), ahead.stale_checks, "permissions:site_list"),
    Section(noop("Insurance before hunts"), sections.papers_before_hunts, "people:person_list"),
    Section(noop("Visit reports to issue"), report_sections.reports_ready, "hunts:list", "?when=past"),
    Section(noop("Handed over but not received"), custody_sections.not_received, "finds:custody_list"),
    Section(noop("Due back"), custody_sections.due_back, "finds:custody_list", "?overdue=on"),
    Section(noop("Hand-overs waiting for the receiver"), custody_sections.waiting, "finds:custody_list"),
    Section(noop("Storage boxes to look at"), custody_sections.boxes, "finds:box_list"),
    Section(noop("Papers to sign"), settle_sections.to_sign, "reports:sheets"),
    Section(noop("Settlements"), settle_sections.sheets, "reports:sheets"),
    Section(noop("My kit"), field_sections.kit_care, "hunts:kit_list"),
    Section(noop("My papers"), sections.own_papers, "people:me"),
    Section(noop("Backups"), keeping_sections.kept_well, "keeping:backups"),
    Section(noop("Next hunts"), sections.next_hunts, "hunts:list"),
)


def today_for(user: User, *, at: datetime) -> list[Group]:
    """Every section that has something for this person, the most urgent kinds first."""
    groups = [section.group(user, at) for section in SECTIONS]
    return [group for group in groups if group.items]
