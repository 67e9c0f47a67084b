"""Hunts, who came, and every hole."""

from hunts.models.attendance import Attendance, SignUp
from hunts.models.hole import Hole, HolePhoto
from hunts.models.hunt import Hunt, HuntSite
from hunts.models.incident import Incident
from hunts.models.track import Track

__all__ = ["Attendance", "Hole", "HolePhoto", "Hunt", "HuntSite", "Incident", "SignUp", "Track"]
