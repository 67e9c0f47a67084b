"""JSON from a phone is read with care (RFC 8259), and an envelope says what is wrong with it."""

import json
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field.envelope import BadRecordError, digest_of, key_for, moment_of, read_envelope
from field.read import LONGEST_TEXT, TooLargeError, UnreadableError, read_json

NOON = datetime(2026, 3, 29, 12, tzinfo=UTC)

REFUSED = {
    "NaN": (b'{"a": NaN}', "NaN is no number"),
    "infinity": (b"[-Infinity]", "-Infinity is no number"),
    "overflow": (b"[1e999]", "1e999 is too large"),
    "enormous": (b"[" + b"9" * 5000 + b"]", "too large a number"),
    "deep": (b"[" * 20 + b"]" * 20, "deeper than 12"),
    "very deep": (b"[" * 200_000 + b"]" * 200_000, "deeper than 12"),
    "nul": (b'{"a": "x\\u0000y"}', "U+0000"),
    "nul in a name": (b'{"x\\u0000y": 1}', "U+0000"),
    "raw nul": (b'{"a": "x\0y"}', "not JSON"),
    "not utf-8": (b'{"a": "\xff"}', "Byte 7 is not UTF-8"),
    "cut": (b'{"a": 1', "at character 7"),
    "empty": (b"", "not JSON"),
    "long": (json.dumps("x" * (LONGEST_TEXT + 1)).encode(), "10,001 characters"),
}


@pytest.mark.parametrize(("body", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_kept_is_refused_in_words(body: bytes, words: str) -> None:
    with pytest.raises(UnreadableError, match=words.replace("+", r"\+")):
        read_json(body)


def test_a_body_over_the_limit_is_refused_before_it_is_read() -> None:
    with pytest.raises(TooLargeError, match="11 bytes are more than 10"):
        read_json(b'"123456789"', most=10)


def test_half_a_surrogate_pair_of_a_cut_text_does_not_lose_the_record() -> None:
    assert read_json(b'"gilt \\ud83d"') == "gilt \N{REPLACEMENT CHARACTER}"
    assert read_json(b'"\\ud83d\\ude00"') == "\N{GRINNING FACE}"


# What every JSON reader gives back (RFC 8259): numbers of up to 15 figures are the same everywhere (section 6).
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**15), 10**15)
    | st.text(st.characters(exclude_characters="\0"), max_size=20)
    | st.floats(-1e15, 1e15),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("abc", max_size=3), inner, max_size=4),
    max_leaves=10,
)  # fmt: skip


@given(VALUES)
def test_what_can_be_kept_comes_out_as_it_went_in(value: object) -> None:
    assert read_json(json.dumps(value).encode()) == value


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_in_a_sentence(body: bytes) -> None:
    try:
        read_json(body)
    except UnreadableError as error:
        assert str(error).endswith(".")  # noqa: PT017 (either outcome is right)


def envelope(**fields: object) -> dict[str, object]:
    raw = {"client_id": str(uuid4()), "kind": "hole", "hunt": 1, "at": NOON.isoformat(), "data": {}}
    return {name: value for name, value in (raw | fields).items() if value != "absent"}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"client_id": "7"}, '"7" is no UUID'),
        ({"client_id": "absent"}, "null is no UUID"),
        ({"kind": "tree"}, '"tree" is no kind of record'),
        ({"kind": ["hole"]}, r"\[\"hole\"\] is no kind"),
        ({"hunt": True}, "true is no hunt"),
        ({"hunt": 2**63}, "is no hunt"),
        ({"data": []}, r"\[\] is no content"),
        ({"at": "yesterday"}, '"yesterday" is no time for at'),
        ({"at": "2026-03-29T12:00:00"}, "is no time for at"),
        ({"at": "0001-01-01T00:00:00+14:00"}, "is no time for at"),
        ({"device_at": 5}, "5 is no time for device_at"),
    ],
)
def test_an_envelope_that_cannot_be_read_names_the_value(fields: dict[str, object], words: str) -> None:
    with pytest.raises(BadRecordError, match=words):
        read_envelope(envelope(**fields))


@pytest.mark.parametrize("raw", [None, 7, "hole", [], True])
def test_what_is_no_record_is_said_to_be_none_and_has_a_key_all_the_same(raw: object) -> None:
    with pytest.raises(BadRecordError, match="is no record"):
        read_envelope(raw)
    assert key_for(raw, "me") == key_for(raw, "me") != key_for(raw, "somebody")


def test_the_digest_does_not_hang_on_the_order_of_names() -> None:
    assert (
        digest_of({"a": 1, "b": [1, 2]})
        == digest_of({"b": [1, 2], "a": 1})
        != digest_of({"a": 1, "b": [2, 1]})
    )


@pytest.mark.parametrize(
    ("at", "device_at", "device_now", "expected"),
    [
        (-60, -60, 0, -60),  # clocks agree
        (30, 30, 30, 0),  # the phone is half a minute ahead: now
        (
            86_000,
            86_000,
            86_400,
            -400,
        ),  # a day ahead, and the phone did not know: the time since then is right
        (3600, 3600, None, 3600),  # nothing to judge by: kept as it is, for a person to correct
        (3600, 3600, 0, 3600),  # recorded an hour from now by the same clock: kept as it is
    ],
)
def test_when_it_was_by_the_servers_clock(
    at: int, device_at: int, device_now: int | None, expected: int
) -> None:
    sent = read_envelope(envelope(at=after(at).isoformat(), device_at=after(device_at).isoformat()))
    told = None if device_now is None else after(device_now)
    assert moment_of(sent, device_now=told, now=NOON) == after(expected)


def after(seconds: int) -> datetime:
    return NOON + timedelta(seconds=seconds)
