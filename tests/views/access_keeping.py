"""Who gets what of keeping: the secretary its page, everybody the two addresses for machines."""

from tests.views.access import INSIDERS, Row, who

EVERYBODY = who(f"anonymous link expired stranger {INSIDERS}", 200)

ROWS = [
    Row("keeping:backups", who("secretary", 200), otherwise=403),
    Row(
        "keeping:backups",
        who("secretary", 302),
        method="post",
        data=lambda w: {"made_on": "2026-03-01", "proved_on": "2026-03-02"},
        otherwise=403,
    ),
    Row("keeping:health", EVERYBODY),
    Row("keeping:ready", EVERYBODY),
]
