"""Every write to sites, landholders, permissions, consents and what the ground says."""

from permissions.actions.codes import CodeError, send_code, use_code
from permissions.actions.consents import add_consent, correct_consent, withdraw_consent
from permissions.actions.cut import CutError, Part, merge_sites, split_site
from permissions.actions.ground import (
    add_closed_period,
    add_closed_periods,
    add_field_state,
    add_licence,
    add_no_go,
    add_protected_check,
    remove_closed_period,
    remove_field_state,
    remove_licence,
    remove_no_go,
)
from permissions.actions.import_tables import (
    save_landholders,
    save_sites,
    take_back_landholders,
    take_back_sites,
)
from permissions.actions.imports import (
    NewLine,
    NewSite,
    NoDraftError,
    answer_import,
    discard_import,
    keep_import,
    save_import,
)
from permissions.actions.landholders import (
    StillNeededError,
    add_landholder,
    change_landholder,
    erase_landholder,
    link_used,
    make_link,
    revoke_link,
)
from permissions.actions.online import NotOpenError, consent_by_link, withdraw_by_link
from permissions.actions.parties import PartyError, add_party, end_party
from permissions.actions.permissions import (
    add_permission,
    change_permission,
    grant_by_consents,
    move_permission,
    pause_permission,
)
from permissions.actions.protected import change_layer, remove_layer, save_layer
from permissions.actions.sites import add_site, change_site, redraw_site

__all__ = [
    "CodeError",
    "CutError",
    "NewLine",
    "NewSite",
    "NoDraftError",
    "NotOpenError",
    "Part",
    "PartyError",
    "StillNeededError",
    "add_closed_period",
    "add_closed_periods",
    "add_consent",
    "add_field_state",
    "add_landholder",
    "add_licence",
    "add_no_go",
    "add_party",
    "add_permission",
    "add_protected_check",
    "add_site",
    "answer_import",
    "change_landholder",
    "change_layer",
    "change_permission",
    "change_site",
    "consent_by_link",
    "correct_consent",
    "discard_import",
    "end_party",
    "erase_landholder",
    "grant_by_consents",
    "keep_import",
    "link_used",
    "make_link",
    "merge_sites",
    "move_permission",
    "pause_permission",
    "redraw_site",
    "remove_closed_period",
    "remove_field_state",
    "remove_layer",
    "remove_licence",
    "remove_no_go",
    "revoke_link",
    "save_import",
    "save_landholders",
    "save_layer",
    "save_sites",
    "send_code",
    "split_site",
    "take_back_landholders",
    "take_back_sites",
    "use_code",
    "withdraw_by_link",
    "withdraw_consent",
]
