"""Accounts, the club itself, memberships and the audit trail."""

from people.models.audit import AuditEntry
from people.models.club import Club, Contact
from people.models.invitation import Invitation
from people.models.letter import Letter, MailStop
from people.models.membership import Insurance, Membership, RoleHeld
from people.models.reading import UnusualReading
from people.models.table import ColumnMemory, TableDraft, TableImport, TableKind
from people.models.user import User, account_at

__all__ = [
    "AuditEntry",
    "Club",
    "ColumnMemory",
    "Contact",
    "Insurance",
    "Invitation",
    "Letter",
    "MailStop",
    "Membership",
    "RoleHeld",
    "TableDraft",
    "TableImport",
    "TableKind",
    "UnusualReading",
    "User",
    "account_at",
]
