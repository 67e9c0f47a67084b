"""Landholders, sites, permissions, consents and what else decides whether ground may be searched."""

from permissions.models.ground import ClosedPeriod, FieldState, NoGoArea, ProtectedCheck
from permissions.models.landholder import Landholder, LandholderLink
from permissions.models.licence import Licence
from permissions.models.permission import Consent, Permission
from permissions.models.site import Boundary, Site, SiteOverlap, SiteParty

__all__ = [
    "Boundary",
    "ClosedPeriod",
    "Consent",
    "FieldState",
    "Landholder",
    "LandholderLink",
    "Licence",
    "NoGoArea",
    "Permission",
    "ProtectedCheck",
    "Site",
    "SiteOverlap",
    "SiteParty",
]
