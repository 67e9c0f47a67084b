"""Landholders, sites, permissions, consents and what else decides whether ground may be searched."""

from permissions.models.draft import ImportDraft
from permissions.models.ground import ClosedPeriod, FieldState, NoGoArea, ProtectedCheck
from permissions.models.landholder import Landholder, LandholderLink, LinkCode
from permissions.models.licence import Licence
from permissions.models.permission import Consent, Permission
from permissions.models.protected import ProtectedLayer, ProtectedNear, ProtectedPlace
from permissions.models.site import Boundary, Site, SiteOverlap, SiteParty, Succession

__all__ = [
    "Boundary",
    "ClosedPeriod",
    "Consent",
    "FieldState",
    "ImportDraft",
    "Landholder",
    "LandholderLink",
    "Licence",
    "LinkCode",
    "NoGoArea",
    "Permission",
    "ProtectedCheck",
    "ProtectedLayer",
    "ProtectedNear",
    "ProtectedPlace",
    "Site",
    "SiteOverlap",
    "SiteParty",
    "Succession",
]
