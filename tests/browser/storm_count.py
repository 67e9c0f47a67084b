"""Count what the server's own file holds against what was made, and against what the phone says."""

from collections import Counter

from tests.browser.field_storm import StormPhone
from tests.browser.server_process import ServerProcess
from tests.browser.storm_records import Made

TABLES = {
    "hole": ("hunts_hole", "notes"),
    "find": ("finds_find", "description"),
    "reading": ("hunts_groundreading", "notes"),
    "incident": ("hunts_incident", "words"),
}


def counted(server: ServerProcess, phones: list[StormPhone], made: Made) -> Counter[str]:
    """What became of every record and photograph that was made; fails where one is lost, doubled or told wrongly.

    What is stored may have left the phone after its day; what is not must be there.
    """
    found: Counter[str] = Counter()
    rows = phone_records(server)
    told = {_hex(key): state for phone in phones for key, state in phone.standing()["records"].items()}
    words = {
        kind: Counter(server.rows(f"SELECT {name} FROM {table}")) for kind, (table, name) in TABLES.items()
    }
    for key, (kind, token) in made.records.items():
        kept_as, state, reason, why = rows[_hex(key)]
        is_stored = state == "stored"
        assert is_stored or (state == "parked" and reason and reason != "fault" and why), (
            kind,
            state,
            reason,
        )
        said = told.get(_hex(key), "sent" if is_stored else "gone")
        assert (kept_as, said) == (kind, "sent" if is_stored else "parked"), (kind, state)
        assert not token or words[kind][(token,)] == (1 if is_stored else 0), (kind, state)
        found[f"{kind} {state}{f' ({reason})' if reason else ''}"] += 1
    more = rows.keys() - {_hex(key) for key in made.records}
    assert {rows[key][0] for key in more} <= {"change"}, "only a correction makes a record of its own"
    for kind, there in words.items():
        assert there.total() == found[f"{kind} stored"]
    return found + photographs(server, made)


def phone_records(server: ServerProcess) -> dict[str, tuple[str, str, str, str]]:
    columns = "client_id, kind, state, reason, why"
    return {row[0]: row[1:] for row in server.rows(f"SELECT {columns} FROM field_phonerecord")}


def _hex(key: str) -> str:
    return key.replace("-", "")


def photographs(server: ServerProcess, made: Made) -> Counter[str]:
    """Each is with its hole or incident once, or waits there for a record that is parked."""
    found: Counter[str] = Counter()
    uploads = dict(server.rows("SELECT sha256, state FROM field_photoupload"))
    tables = ("hunts_holephoto", "hunts_incidentphoto")
    there = Counter(row for each in tables for row in server.rows(f"SELECT original_sha256 FROM {each}"))
    records = phone_records(server)
    for digest, owner in made.photos.items():
        assert digest in uploads, f"the server never heard of photograph {digest} of {records[_hex(owner)]}"
        state = uploads[digest]
        assert state == "stored" or records[_hex(owner)][1] == "parked", state
        assert there[(digest,)] == (1 if state == "stored" else 0)
        found[f"photograph {state}"] += 1
    assert there.total() == found["photograph stored"]
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
