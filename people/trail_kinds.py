"""The kinds of record that somebody looks for on the audit trail, each with the models that belong to it."""

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _lazy

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

KINDS: "dict[str, StrOrPromise]" = {
    "hunt": _lazy("Hunts and who came"),
    "alone": _lazy("Out alone"),
    "hole": _lazy("Holes"),
    "track": _lazy("Tracks"),
    "kit": _lazy("Kit and readings"),
    "incident": _lazy("Incidents and drills"),
    "find": _lazy("Finds"),
    "case": _lazy("Cases"),
    "custody": _lazy("Hand-overs and boxes"),
    "sheet": _lazy("Settlements and papers"),
    "report": _lazy("Reports"),
    "site": _lazy("Sites"),
    "permission": _lazy("Permissions and agreements"),
    "landholder": _lazy("Landholders"),
    "person": _lazy("People and accounts"),
    "club": _lazy("Club, backups and tables"),
    "letter": _lazy("Letters"),
    "phone": _lazy("Records of phones"),
}
_MODELS = {
    "hunt": "hunts: Hunt SignUp HuntPlan Guest RiskAssessment RiskLine",
    "alone": "hunts: LoneHunt",
    "hole": "hunts: Hole HoleRecheck",
    "track": "hunts: Track",
    "kit": "hunts: Kit SetUp GroundReading BenchTest CareTick",
    "incident": "hunts: Incident; finds: FindDrill",
    "find": "finds: Find FindGroup PairSuggestion FindFate Valuation FindLink FindPhoto Rescreening",
    "case": "finds: Case CaseTask CaseMessage CaseOutcome CaseStage",
    "custody": "finds: HandOver HandOverItem HandOverLink Box BoxReading BoxMove; reports: OfficerVisit",
    "sheet": "finds: Sheet SheetPayment; reports: Paper PaperSigner",
    "report": "reports: IssuedReport VisitDraft ReportPackage ReportSending",
    "site": "permissions: Site NoGoArea FieldState ClosedPeriod ProtectedCheck ProtectedLayer ImportDraft",
    "permission": "permissions: Permission Consent Licence; reports: AgreementIssue SignatureRequest Signature",
    "landholder": "permissions: Landholder SiteParty LandholderLink; reports: LandholderAnswer Concern Thanks",
    "person": "people: User Membership Insurance RoleHeld Invitation UnusualReading",
    "club": "people: Club Contact TableImport; reports: NotNeeded; doors: AccessToken",
    "letter": "people: Letter MailStop",
    "phone": "field: PhoneRecord PhotoUpload",
}


def models_of(kind: str) -> list[str]:
    """The labels of the models of a kind, as the trail knows them: 'hunts.Hunt'."""
    parts = (part.split(":") for part in _MODELS[kind].split(";"))
    return [f"{app.strip()}.{name}" for app, names in parts for name in names.split()]
