"""Worked cases: who has said yes. Rules: facts/trade.md 1.1 (Code of Practice 2017 on owner and tenant)."""

from datetime import date

from permissions.gate import Capacity, PartyFacts, PermissionState, Tenure, Terms
from tests.unit.permissions.make import (
    AGENT,
    DAY,
    GRAZIER,
    OCCUPIER,
    OWNER,
    SHOOT,
    case,
    consent,
    permission,
    site,
)

LET = site(tenure=Tenure.LET, parties=(OWNER, OCCUPIER))
BOTH = permission(consents=(consent(), consent(2, OCCUPIER)))
SPLIT_OWNERS = (OWNER, PartyFacts("landholder:6", "Fay Holm", Capacity.OWNER, "party:6"))


def signed(*consents, **given):
    return permission(consents=consents, **given)


CASES = (
    case("I own it, I farm it, and I signed in January.", "open"),
    case("Nobody has ever asked me about that field.", "shut", "permission_none", permission=None),
    case(
        "They have a form half filled in.",
        "shut",
        "permission_draft",
        "consent_missing",
        permission=signed(state=PermissionState.DRAFT),
    ),
    case(
        "They wrote to me; I have not answered yet.",
        "shut",
        "permission_asked",
        "consent_not_given",
        permission=signed(consent(given_on=None), state=PermissionState.ASKED),
    ),
    case("I said no.", "shut", "permission_refused", permission=permission(state=PermissionState.REFUSED)),
    case(
        "Stop for now, there is a gate broken.",
        "shut",
        "permission_paused",
        permission=permission(state=PermissionState.PAUSED),
    ),
    case(
        "We shook hands and called it a day.",
        "shut",
        "permission_ended",
        permission=permission(state=PermissionState.ENDED),
    ),
    case(
        "You can start on the first of September.",
        "shut",
        "permission_not_started",
        permission=permission(starts=date(2026, 9, 1)),
    ),
    case(
        "It ran out at the end of July.",
        "shut",
        "permission_expired",
        permission=permission(ends=date(2026, 7, 31)),
    ),
    case("The last day is Sunday itself.", "open", permission=permission(ends=DAY)),
    case("The first day is Sunday itself.", "open", permission=permission(starts=DAY)),
    case(
        "From September till March, this March.",
        "shut",
        "permission_dates_reversed",
        permission=permission(starts=date(2026, 9, 1), ends=date(2026, 3, 1)),
    ),
    case(
        "That paper is for Far Carr, not for Ten Acre.",
        "shut",
        "permission_other_site",
        permission=permission(sites=frozenset({"site:9"})),
    ),
    case("I rent it; the estate and I both signed.", "open", site=LET, permission=BOTH),
    case(
        "I rent it and I am happy, never mind the landlord.",
        "shut",
        "consent_missing",
        site=LET,
        permission=signed(consent(2, OCCUPIER)),
    ),
    case("My tenant will not mind, I have signed.", "shut", "consent_missing", site=LET),
    case("It is let, I forget to whom.", "ask", "occupier_unknown", site=site(tenure=Tenure.LET)),
    case(
        "I work it, but who owns it I could not say.",
        "ask",
        "owner_unknown",
        site=site(tenure=Tenure.LET, parties=(OCCUPIER,)),
        permission=signed(consent(2, OCCUPIER)),
    ),
    case(
        "Whether it is let? You would have to ask.", "ask", "tenure_unknown", site=site(tenure=Tenure.UNKNOWN)
    ),
    case(
        "No idea whose it is or who works it.",
        "ask",
        "owner_unknown",
        "tenure_unknown",
        site=site(tenure=Tenure.UNKNOWN, parties=()),
        permission=signed(),
    ),
    case(
        "It is mine in hand, but Bert takes the crop.",
        "shut",
        "consent_missing",
        "tenure_contradicted",
        site=site(parties=(OWNER, OCCUPIER)),
        permission=signed(consent(3, GRAZIER)),
    ),
    case(
        "I farm it myself, though the book says Bert does.",
        "ask",
        "tenure_contradicted",
        site=site(parties=(OWNER, OCCUPIER)),
    ),
    case("It is my sister's and mine; I signed.", "shut", "consent_missing", site=site(parties=SPLIT_OWNERS)),
    case(
        "My sister and I both signed.",
        "open",
        site=site(parties=SPLIT_OWNERS),
        permission=signed(consent(), consent(2, SPLIT_OWNERS[1])),
    ),
    case(
        "I sold it in June.",
        "ask",
        "owner_unknown",
        site=site(
            parties=(
                PartyFacts("landholder:1", "Ada Holm", Capacity.OWNER, "party:1", until=date(2026, 6, 30)),
            )
        ),
    ),
    case(
        "I am the agent, the estate gave me a letter to sign for Miss Holm.",
        "open",
        site=site(parties=(OWNER, AGENT)),
        permission=signed(consent(3, AGENT)),
    ),
    case(
        "I am the agent; I sign everything here.",
        "ask",
        "agent_without_authority",
        site=site(
            parties=(
                OWNER,
                PartyFacts("landholder:3", "Cora Withow", Capacity.AGENT, "party:3", "landholder:1"),
            )
        ),
        permission=signed(consent(3, AGENT)),
    ),
    case(
        "I am an agent, I will not say whose.",
        "shut",
        "consent_missing",
        "agent_for_nobody",
        site=site(
            parties=(OWNER, PartyFacts("landholder:3", "Cora Withow", Capacity.AGENT, "party:3", None, True))
        ),
        permission=signed(consent(3, AGENT)),
    ),
    case(
        "I act for Miss Holm, not for her tenant.",
        "shut",
        "consent_missing",
        site=site(tenure=Tenure.LET, parties=(OWNER, OCCUPIER, AGENT)),
        permission=signed(consent(3, AGENT)),
    ),
    case(
        "I only shoot over it, but go ahead.",
        "shut",
        "consent_missing",
        "inform_due",
        site=site(parties=(OWNER, SHOOT)),
        permission=signed(consent(4, SHOOT)),
    ),
    case(
        "I just graze it, help yourselves.",
        "shut",
        "consent_missing",
        "inform_due",
        site=site(parties=(OWNER, GRAZIER)),
        permission=signed(consent(5, GRAZIER)),
    ),
    case(
        "I told you on the phone it was all right.",
        "ask",
        "consent_no_evidence",
        permission=signed(consent(evidence=False)),
    ),
    case(
        "My yes starts in September.",
        "shut",
        "consent_not_started",
        permission=signed(consent(starts=date(2026, 9, 1))),
    ),
    case(
        "I gave you one season; that was last year.",
        "shut",
        "consent_ended",
        permission=signed(consent(given_on=date(2025, 1, 10), ends=date(2026, 1, 9))),
    ),
    case(
        "I have changed my mind.",
        "shut",
        "consent_withdrawn",
        permission=signed(consent(withdrawn_on=date(2026, 8, 1))),
    ),
    case(
        "You may come Sunday, after that I take it back.",
        "open",
        permission=signed(consent(withdrawn_on=date(2026, 8, 31))),
    ),
    case(
        "I take it back as from Sunday.",
        "shut",
        "consent_withdrawn",
        permission=signed(consent(withdrawn_on=DAY)),
    ),
    case(
        "I signed twice and took the second one back.",
        "shut",
        "consent_withdrawn",
        permission=signed(consent(), consent(2, given_on=date(2026, 3, 1), withdrawn_on=date(2026, 8, 1))),
    ),
    case(
        "I took it back in March and signed again in April.",
        "open",
        permission=signed(consent(withdrawn_on=date(2026, 3, 1)), consent(2, given_on=date(2026, 4, 1))),
    ),
    case(
        "I took it back and signed again, both on the first of April.",
        "ask",
        "consent_order_unclear",
        permission=signed(consent(withdrawn_on=date(2026, 4, 1)), consent(2, given_on=date(2026, 4, 1))),
    ),
    case(
        "I meant Far Carr only.",
        "shut",
        "consent_other_site",
        permission=signed(consent(sites=frozenset({"site:9"}))),
    ),
    case(
        "Ten Acre and Far Carr, the rest no.",
        "open",
        permission=signed(consent(sites=frozenset({"site:1", "site:9"}))),
    ),
    case(
        "From May till April of the same year.",
        "shut",
        "consent_dates_reversed",
        permission=signed(consent(starts=date(2026, 5, 1), ends=date(2026, 4, 1))),
    ),
    case(
        "I own it, and I signed as tenant by mistake.",
        "shut",
        "consent_missing",
        permission=signed(consent(capacity=Capacity.OCCUPIER)),
    ),
    case(
        "The old consent ran out but the new one is on file.",
        "open",
        permission=signed(consent(ends=date(2026, 6, 1)), consent(2, given_on=date(2026, 5, 1))),
    ),
    case(
        "The tenant has it only from Michaelmas; until then it is mine in hand.",
        "ask",
        "occupier_unknown",
        site=site(
            tenure=Tenure.LET,
            parties=(
                OWNER,
                PartyFacts(
                    "landholder:2", "Bert Storr", Capacity.OCCUPIER, "party:2", since=date(2026, 9, 29)
                ),
            ),
        ),
    ),
    case(
        "Saturdays only, I said, and the tenant has not signed.",
        "shut",
        "consent_missing",
        "weekday",
        site=LET,
        permission=permission(terms=Terms(weekdays=frozenset({5}))),
    ),
)
