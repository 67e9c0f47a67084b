"""Hunts, who came, and every hole."""

from hunts.models.attendance import Attendance, SignUp
from hunts.models.ground import BlankGround, HuntPlan
from hunts.models.hole import Hole, HolePhoto
from hunts.models.hunt import Hunt, HuntSite
from hunts.models.incident import Incident
from hunts.models.track import Track, TrackCover

__all__ = [
    "Attendance",
    "BlankGround",
    "Hole",
    "HolePhoto",
    "Hunt",
    "HuntPlan",
    "HuntSite",
    "Incident",
    "SignUp",
    "Track",
    "TrackCover",
]
