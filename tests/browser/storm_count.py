"""Count what the server's own file holds against what was made, and against what the phone says."""

from collections import Counter

from tests.browser.field_storm import Made, StormPhone
from tests.browser.server_process import ServerProcess

TABLES = {
    "hole": ("hunts_hole", "notes"),
    "find": ("finds_find", "description"),
    "reading": ("hunts_groundreading", "notes"),
    "incident": ("hunts_incident", "words"),
}


def counted(server: ServerProcess, phones: list[StormPhone], made: Made) -> Counter[str]:
    """What became of every record and photograph that was made; fails where one is lost, doubled or told wrongly."""
    found: Counter[str] = Counter()
    columns = "client_id, kind, state, reason, why"
    rows = {row[0]: row[1:] for row in server.rows(f"SELECT {columns} FROM field_phonerecord")}
    told = {_hex(key): state for phone in phones for key, state in phone.standing()["records"].items()}
    for key, (kind, token) in made.records.items():
        kept_as, state, reason, why = rows[_hex(key)]
        is_stored = state == "stored"
        assert is_stored or (state == "parked" and reason and reason != "fault" and why), (
            kind,
            state,
            reason,
        )
        assert (kept_as, told[_hex(key)]) == (kind, "sent" if is_stored else "parked"), (kind, state)
        if token:
            table, words = TABLES[kind]
            ((count,),) = server.rows(f"SELECT count(*) FROM {table} WHERE {words} = ?", token)
            assert count == (1 if is_stored else 0), (kind, state, count)
        found[f"{kind} {state}{f' ({reason})' if reason else ''}"] += 1
    more = rows.keys() - {_hex(key) for key in made.records}
    assert {rows[key][0] for key in more} <= {"change"}, "only a correction makes a record of its own"
    for kind, (table, _) in TABLES.items():
        ((count,),) = server.rows(f"SELECT count(*) FROM {table}")
        assert count == found[f"{kind} stored"]
    return found + photographs(server, made)


def _hex(key: str) -> str:
    return key.replace("-", "")


def photographs(server: ServerProcess, made: Made) -> Counter[str]:
    found: Counter[str] = Counter()
    uploads = server.rows("SELECT sha256, state FROM field_photoupload")
    for digest in made.photos:
        (state,) = [state for sha, state in uploads if sha == digest]
        assert state in {"stored", "parked", "waiting"}
        ((count,),) = server.rows("SELECT count(*) FROM hunts_holephoto WHERE original_sha256 = ?", digest)
        assert count == (1 if state == "stored" else 0)
        found[f"photograph {state}"] += 1
    ((count,),) = server.rows("SELECT count(*) FROM hunts_holephoto")
    assert count == found["photograph stored"]
    return found


def assert_depths(server: ServerProcess, made: Made) -> None:
    """The last word about each hole is what stands."""
    stored = dict(server.rows("SELECT client_id, depth_cm FROM hunts_hole"))
    wrong = {
        key: (depth, stored[_hex(key)])
        for key, depth in made.depths.items()
        if stored.get(_hex(key), depth) != depth
    }
    assert wrong == {}
