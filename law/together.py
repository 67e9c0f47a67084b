"""Screens a find under every pack that holds in its place: a state's own beside the federal one."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from functools import lru_cache

from law.facts import FindFacts
from law.model import Effect, Pack
from law.pack import load_pack
from law.place import PlaceFacts
from law.screen import order, screen, screen_same_find
from law.screening import DrillShown, Outcome, Screening, Unknown
from law.search import SearchAnswer, licences_needed, search_answers

_WORSE = (Outcome.NO_DUTY_FOUND, Outcome.POSSIBLE_DUTY, Outcome.DUTY)


@lru_cache(maxsize=64)
def packs_for(code: str | None) -> tuple[Pack, ...]:
    """Every pack that holds in a place, its own first.

    Raises UnknownJurisdictionError for a place without a pack: what is not known is never “no duty”.
    """
    found: dict[str, Pack] = {}
    waiting = [code]
    while waiting:
        pack = load_pack(waiting.pop(0))
        if pack.code not in found:
            found[pack.code] = pack
            waiting += pack.also
    return tuple(found.values())


def fingerprint(code: str) -> str:
    """64 hexadecimal figures that change with any pack of the place: another version, other content, one more."""
    said = "|".join(f"{pack.code} {pack.version} {pack.digest}" for pack in packs_for(code))
    return hashlib.sha256(said.encode()).hexdigest()


def screen_place(
    facts: FindFacts, *, group: Sequence[FindFacts] = (), code: str, on: date | datetime
) -> Screening:
    """What every law that holds in the place `code` may ask of the finder of `facts`; see law.screen.screen.

    The outcome is the worse; clocks run in the zone of the place's own pack. Raises UnknownJurisdictionError.
    """
    packs = packs_for(code)
    whole = _here((facts, *group), code, packs)
    return combine([screen(whole[0], group=whole[1:], pack=pack, on=on) for pack in packs], facts.digest())


def screen_same_place(find: Sequence[FindFacts], *, code: str, on: date | datetime) -> list[Screening]:
    """The screening of every record of one same find in that place, in order."""
    packs = packs_for(code)
    whole = _here(find, code, packs)
    digests = [facts.digest() for facts in find]
    each = [screen_same_find(whole, pack=pack, on=on, digests=digests) for pack in packs]
    return [combine(parts, digest) for digest, *parts in zip(digests, *each, strict=True)]


def _here(find: Sequence[FindFacts], code: str, packs: Sequence[Pack]) -> list[FindFacts]:
    """The facts as every pack of the place takes them: its zone, and no code that a second pack would refuse."""
    for facts in find:
        if facts.jurisdiction not in (None, code):
            load_pack(facts.jurisdiction)
            raise ValueError(f"{facts.ref or 'A record'} is from {facts.jurisdiction}, not from {code}.")
    if len(packs) == 1:
        return list(find)  # one pack takes its own code, and falls back on its own zone
    return [replace(facts, jurisdiction=None, tz=facts.tz or packs[0].tz) for facts in find]


def combine(parts: Sequence[Screening], digest: str) -> Screening:
    """One answer from those of several packs about the facts of that digest; nothing that one of them says is lost."""
    own = parts[0]
    if len(parts) == 1:
        return own if own.facts_digest == digest else replace(own, facts_digest=digest)
    duties = [duty for part in parts for duty in part.duties]
    return replace(
        own,
        outcome=max((part.outcome for part in parts), key=_WORSE.index),
        duties=tuple(sorted(duties, key=order)),
        ruled_out=tuple(ruled for part in parts for ruled in part.ruled_out),
        unknowns=_unknowns(unknown for part in parts for unknown in part.unknowns),
        exclusions=tuple(excluded for part in parts for excluded in part.exclusions),
        cautions=tuple(dict.fromkeys(said for part in parts for said in part.cautions)),
        drills=_drills(drill for part in parts for drill in part.drills),
        packs=tuple(pack for part in parts for pack in part.packs),
        facts_digest=digest,
    )


def search_answers_for(code: str, place: PlaceFacts) -> tuple[SearchAnswer, ...]:
    """What stands in the way of searching there by every law that holds in the place, the shut first."""
    answers = [answer for pack in packs_for(code) for answer in search_answers(pack, place)]
    return tuple(sorted(answers, key=lambda answer: answer.effect is not Effect.SHUT))


def licences_needed_in(code: str) -> dict[str, str]:
    """Each licence that lifts some search rule of any law that holds in the place, and its name in words."""
    needed: dict[str, str] = {}
    for pack in packs_for(code):
        needed |= licences_needed(pack)
    return needed


def _unknowns(unknowns: Iterable[Unknown]) -> tuple[Unknown, ...]:
    """Each question once, with the rules of all packs that it would settle, the most telling first."""
    asked: dict[str, Unknown] = {}
    for unknown in unknowns:
        before = asked.get(unknown.fact)
        rules = (*before.would_change, *unknown.would_change) if before else ()
        asked[unknown.fact] = replace(unknown, would_change=rules) if before else unknown
    return tuple(sorted(asked.values(), key=lambda unknown: -len(unknown.would_change)))


def _drills(drills: Iterable[DrillShown]) -> tuple[DrillShown, ...]:
    """Each drill once by its title; a step that only one pack names keeps its place among the others."""
    shown: dict[str, DrillShown] = {}
    for drill in drills:
        before = shown.get(drill.title)
        if before is None:
            shown[drill.title] = drill
            continue
        steps = tuple(_merge(list(before.steps), drill.steps))
        shown[drill.title] = replace(before, steps=steps, certain=before.certain or drill.certain)
    return tuple(shown.values())


def _merge(steps: list[str], more: Iterable[str]) -> list[str]:
    place = 0
    for step in more:
        if step in steps:
            place = steps.index(step) + 1
        else:
            steps.insert(place, step)
            place += 1
    return steps
