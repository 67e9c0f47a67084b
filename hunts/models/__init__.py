"""Hunts, who came, every hole, and what people set and measured."""

from hunts.models.attendance import Attendance, SignUp
from hunts.models.bench import BenchTest
from hunts.models.ground import BlankGround, HuntPlan
from hunts.models.guest import Guest
from hunts.models.hole import Hole, HolePhoto
from hunts.models.hunt import Hunt, HuntSite
from hunts.models.incident import Incident, IncidentEvent, IncidentPhoto
from hunts.models.kit import CareTick, GroundReading, Kit, SetUp
from hunts.models.lone import LateNotice, LoneHunt
from hunts.models.photo_draft import PhotoDraft
from hunts.models.recheck import HoleRecheck
from hunts.models.risk import RiskAssessment, RiskLine
from hunts.models.track import Track, TrackCover

__all__ = [
    "Attendance",
    "BenchTest",
    "BlankGround",
    "CareTick",
    "GroundReading",
    "Guest",
    "Hole",
    "HolePhoto",
    "HoleRecheck",
    "Hunt",
    "HuntPlan",
    "HuntSite",
    "Incident",
    "IncidentEvent",
    "IncidentPhoto",
    "Kit",
    "LateNotice",
    "LoneHunt",
    "PhotoDraft",
    "RiskAssessment",
    "RiskLine",
    "SetUp",
    "SignUp",
    "Track",
    "TrackCover",
]
