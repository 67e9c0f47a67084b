"""Errands about land: a signature that opens the gate, a pause, what a landholder says, reports; and backups."""

from collections.abc import Iterator
from pathlib import Path

from django.urls import reverse
from django.utils.timezone import localdate, now

from keeping.backup import back_up
from keeping.key import make_key, read_keys, read_recipients
from keeping.restore import drill
from people.audit import subject_of
from people.models import AuditEntry, Letter
from permissions.links import key_of
from permissions.models import Consent, Permission
from permissions.states import State
from reports.agreements import digest_of, signed_text
from reports.mail import secretaries
from reports.models import IssuedReport, LandholderAnswer, Signature
from reports.sign_links import sign_key_of
from tests.faults.errands import Errand, Send, exactly_once, one_of, posted, told_once
from tests.faults.stage import Stage
from tests.faults.wire import form


def sign(stage: Stage) -> list[Errand]:
    """A landholder signs on two devices at once; the one consent that it makes opens the gate."""
    row = stage.request
    permission = row.issue.permission
    path, read = reverse("reports:sign_agree", args=[sign_key_of(row)]), digest_of(signed_text(row))
    letters = Letter.objects.filter(subject__startswith=f"Signed: {row.issue.number}")
    told_of = len(secretaries(localdate()))

    def check(acknowledged: bool) -> Iterator[str]:
        signed = Signature.objects.filter(request=row)
        yield from exactly_once(f"the signature under {permission}", signed, acknowledged)
        count = signed.count()
        consents = Consent.objects.filter(permission=permission).count()
        told = AuditEntry.objects.filter(verb="agreement.sign", subject=subject_of(permission)).count()
        state = Permission.objects.get(pk=permission.pk).state
        if (consents, told) != (count, count) or (state == State.GRANTED) != bool(count):
            yield f"{count} signatures, {consents} consents, and the permission is {state}"
        if letters.count() != count * told_of:
            yield f"{letters.count()} letters tell {told_of} secretaries of {count} signatures"

    said = {"name": "Ada Warp", "agree": "on", "read_sha256": read}
    return [posted("agreement", None, form(path, client_id=stage.key(), **said), check) for _ in range(2)]


def pause(stage: Stage) -> list[Errand]:
    """Secretary and committee pause the same permission at once."""
    row = stage.permission
    asked = form(reverse("permissions:permission_move", args=[row.pk]), to=State.PAUSED.value, why="lambing")

    def check(acknowledged: bool) -> Iterator[str]:
        row.refresh_from_db()
        yield from one_of(
            f"paused {row}", row.state, [State.PAUSED, *([] if acknowledged else [State.GRANTED])]
        )
        if row.state == State.PAUSED:
            yield from told_once("permission.paused", row)

    return [posted("pause", who, asked, check) for who in (stage.cast.secretary, stage.cast.secretary)]


def gate(stage: Stage) -> list[Errand]:
    """Leader and secretary open the same hunt at once; the gate is asked, and the leader takes the first place."""
    row = stage.planned
    asked = form(reverse("hunts:open", args=[row.pk]))

    def check(acknowledged: bool) -> Iterator[str]:
        row.refresh_from_db()
        yield from one_of(f"{row}", row.state, ["open", *([] if acknowledged else ["planned"])])
        if row.state == "open":
            yield from told_once("hunt.open", row)
        places = row.sign_ups.filter(user=row.leader, state="in").count()
        if places != (row.state == "open") or (row.state == "open" and not row.gate_answer):
            yield f"{row} is {row.state}, its leader holds {places} places and the gate said {row.gate_answer}"

    return [posted("gate", who, asked, check) for who in (stage.cast.leader, stage.cast.secretary)]


def concern(stage: Stage) -> Errand:
    """The landholder says that something is wrong; it waits for the club."""
    key = stage.key()
    asked = form(
        reverse("reports:landholder_concern", args=[key_of(stage.link)]),
        client_id=key,
        words="A gate was open.",
    )

    def check(acknowledged: bool) -> Iterator[str]:
        rows = LandholderAnswer.objects.filter(client_id=key)
        yield from exactly_once(f"what a landholder said, {key}", rows, acknowledged)
        for row in rows:
            yield from told_once("landholder.concern", row)

    return posted("concern", None, asked, check)


def report(stage: Stage) -> list[Errand]:
    """Two people issue the statement of holes at once: each issue has its number, its papers and its line."""
    asked = form(reverse("reports:issue", args=["holes", stage.hunt.pk]))

    def check(acknowledged: bool) -> Iterator[str]:
        rows = list(IssuedReport.objects.filter(kind="holes", hunt=stage.hunt))
        if acknowledged and not rows:
            yield "a report was acknowledged and is not there"
        if sorted(row.issue for row in rows) != list(range(1, len(rows) + 1)):
            yield f"the issues are numbered {[row.issue for row in rows]}"
        for row in rows:
            yield from told_once("report.issue", row)

    return [posted("report", who, asked, check) for who in (stage.cast.secretary, stage.cast.leader)]


def backup(folder: Path) -> Errand:
    """A backup is made in the middle of it all, and proved afterwards: it is one moment, whole."""
    key, path = folder / "key.txt", folder / f"{now():%H%M%S%f}.backup.age"
    if not key.exists():
        make_key(key, at=now())
    recipients = [str(each.to_public()) for each in read_keys(key)]
    made: list[str] = []

    def go(send: Send) -> bool:
        try:
            back_up(path, read_recipients(recipients), at=now())
        except Exception as error:  # whatever a fault does to it: then there is no backup, and it says so
            made.append(f"{type(error).__name__}: {error}")
            return False
        return True

    def check(acknowledged: bool) -> Iterator[str]:
        if not acknowledged and path.exists():
            yield f"a backup that failed ({made}) left {path.name}"
        if acknowledged:
            try:
                drill(path, read_keys(key))
            except Exception as error:
                yield f"the backup does not come back: {error}"
            path.unlink()

    return Errand("backup", None, go, check)
