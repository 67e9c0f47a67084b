"""How much room clubs need: one empty club, and 10,000 finds with all that hangs on them, on PostgreSQL and SQLite.

Run: `python -m benchmarks.federation [FINDS]`. One find of the test makers with its number, hole, material, two
photographs' rows, screening, holder and six lines of the trail is really inserted FINDS times (20,000), with every
index; sizes are the server's own (pg_total_relation_size, after VACUUM), SQLite's that of its file. What a federation
of 10,000 clubs with 5 million finds needs is worked out from that, linearly, and said so. No target: a measurement.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

FINDS, A_LOT = 20_000, 10_000
CLUBS, FEDERATION = 10_000, 5_000_000
FIRST = 1_000_000  # primary keys of the copies begin here
LINES_OF_TRAIL = 6
ORDER = (
    "finds_findnumber",
    "hunts_hole",
    "finds_find",
    "finds_findmaterial",
    "finds_findphoto",
    "finds_screeningrecord",
    "finds_custodyentry",
    "people_auditentry",
)


def sample() -> dict[str, list[int]]:
    """One find with all that hangs on it: the primary keys of its rows, by table."""
    from django.utils.timezone import now

    from finds.actions.custody import first_holder
    from finds.actions.screening import screen_find
    from finds.models import FindMaterial
    from people.models import AuditEntry
    from people.rights import Role
    from tests import make

    make.club()
    finder = make.person(Role.SECRETARY)
    hunt = make.hunt(leader=finder, state="running", started_at=now())
    hole = make.hole(hunt, finder)
    find = make.find(
        hunt, finder, hole=hole, description="A cast fragment with a rolled edge, found under stubble. " * 3
    )
    material = FindMaterial.objects.create(find=find, material="copper alloy", share_percent=90)
    photos = [make.find_photo(find).pk for _ in range(2)]
    entry = first_holder(find, by=finder, at=now())
    screen_find(find, by=finder, at=now())
    trail = list(AuditEntry.objects.order_by("pk").values_list("pk", flat=True))
    while len(trail) < LINES_OF_TRAIL:
        line = AuditEntry.objects.create(
            at=now(), by=finder, verb="find.change", subject=f"finds.Find:{find.pk}", label=str(find),
            changes={"changed": ["description", "period"]},
        )  # fmt: skip
        trail.append(line.pk)
    return {
        "finds_findnumber": [find.number_row_id],
        "hunts_hole": [hole.pk],
        "finds_find": [find.pk],
        "finds_findmaterial": [material.pk],
        "finds_findphoto": photos,
        "finds_screeningrecord": [find.screenings.latest("pk").pk],
        "finds_custodyentry": [entry.pk if entry else find.custody.latest("pk").pk],
        "people_auditentry": trail[:LINES_OF_TRAIL],
    }


def own_values(table: str, position: int, model: Any) -> dict[str, str]:
    """What each copy has of its own, as SQL over its number `n`; all else is the sample's."""
    from django.db import connection

    is_pg = connection.vendor == "postgresql"
    key = f"{FIRST} * {position + 1} + n" if position else f"{FIRST} + n"
    digits = f"lower(printf('%%032x', n + {position + 1} * 100000000000))"
    if is_pg:
        digits = f"CAST(lpad(to_hex(n + {position + 1} * 100000000000), 32, '0') AS uuid)"
    values = {"id": key, "client_id": digits}
    find = f"{FIRST} + n"
    if table == "finds_findnumber":
        values |= {"serial": f"{FIRST} + n"}
    elif table == "finds_find":
        values |= {
            "number_row_id": find, "hole_id": find, "number": "'N' || n",
            "lon": "lon + (n %% 7001) * 0.00001", "lat": "lat + (n %% 6997) * 0.00001",
            "cell": "cell + n", "square_cell": "square_cell + n %% 5000",
        }  # fmt: skip
    elif table == "hunts_hole":
        values |= {
            "number": f"{FIRST} + n",
            "lon": "lon + (n %% 7001) * 0.00001",
            "lat": "lat + (n %% 6997) * 0.00001",
        }
    elif table == "people_auditentry":
        values |= {"subject": f"'finds.Find:' || ({FIRST} + n)"}
    else:
        values |= {"find_id": find}
    names = {field.column for field in model._meta.concrete_fields}
    return {name: value for name, value in values.items() if name in names}


def multiply(rows: dict[str, list[int]], count: int) -> None:
    """Copy the rows of one find `count` times, table after table, with every index in place."""
    from django.apps import apps
    from django.db import connection, transaction

    quote = connection.ops.quote_name
    models = {model._meta.db_table: model for model in apps.get_models()}
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE stage (n integer)")
        cursor.execute(
            "INSERT INTO stage WITH RECURSIVE s(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM s WHERE n < %s) "
            "SELECT n FROM s",
            [count],
        )
        for table in ORDER:
            for position, pk in enumerate(rows[table]):
                own = own_values(table, position, models[table])
                columns = [field.column for field in models[table]._meta.concrete_fields]
                chosen = [own.get(name, f"t.{quote(name)}") for name in columns]
                cursor.execute(
                    f"INSERT INTO {table} ({', '.join(map(quote, columns))}) SELECT {', '.join(chosen)} "
                    f"FROM {table} t, stage WHERE t.id = %s",
                    [pk],
                )
        cursor.execute("DROP TABLE stage")


def sizes() -> dict[str, Any]:
    """Bytes of the database, and of each table of ORDER with its indexes apart."""
    from django.db import connection

    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("VACUUM ANALYZE")
            cursor.execute("CHECKPOINT")
            cursor.execute("SELECT pg_database_size(current_database())")
            whole = cursor.fetchone()[0]
            cursor.execute(
                "SELECT relname, pg_total_relation_size(oid) - pg_indexes_size(oid), pg_indexes_size(oid) "
                "FROM pg_class WHERE relname = ANY(%s) AND relkind = 'r'",
                [list(ORDER)],
            )
            tables = {name: [own, indexes] for name, own, indexes in cursor.fetchall()}
            cursor.execute("SELECT count(*) FROM pg_class WHERE relkind IN ('r', 'i', 't', 'S')")
            return {"whole": whole, "tables": tables, "relations": cursor.fetchone()[0]}
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        cursor.execute("SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()")
        return {"whole": cursor.fetchone()[0], "tables": {}, "relations": 1}


def child(count: int, answers: Path) -> None:
    """Fill the database of DATABASE_URL and leave its sizes as JSON."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    empty = sizes()
    rows = sample()
    multiply(rows, count)
    counts = {table: len(keys) for table, keys in rows.items()}
    answers.write_text(json.dumps({"empty": empty, "full": sizes(), "rows": counts, "memory": memory()}))


def memory() -> int:
    """Bytes that a process with the whole program loaded holds."""
    from django.test import Client

    Client().get("/health/ready/", headers={"Host": "localhost"})
    status = Path("/proc/self/status")
    if not status.exists():
        return 0
    return 1024 * int(status.read_text().partition("VmRSS:")[2].split()[0])


def on_postgresql(count: int, scratch: Path) -> dict[str, Any]:
    from tests import run_with_pg

    user = run_with_pg.server_user()
    folder = run_with_pg.private_folder(user)
    try:
        programs = run_with_pg.server_programs(folder, user)
        if programs is None:
            raise SystemExit("No PostgreSQL server programs here; there is nothing to measure.")
        command = [sys.executable, "-m", "benchmarks.federation", str(count), str(scratch / "pg.json")]
        if run_with_pg.run(command, programs, folder, user):
            raise SystemExit("The child failed; its own message stands above.")
        return dict(json.loads((scratch / "pg.json").read_text()))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def on_sqlite(count: int, scratch: Path) -> dict[str, Any]:
    env = os.environ | {"DATABASE_URL": f"sqlite:///{scratch}/club.sqlite3"}
    command = [sys.executable, "-m", "benchmarks.federation", str(count), str(scratch / "sqlite.json")]
    subprocess.run(command, env=env, check=True)
    return dict(json.loads((scratch / "sqlite.json").read_text()))


def report(name: str, found: dict[str, Any], count: int) -> None:
    empty, full = found["empty"]["whole"], found["full"]["whole"]
    a_lot = (full - empty) / count * A_LOT
    print(f"\n{name}: an empty club {empty / 1e6:.1f} MB in {found['empty']['relations']} relations; "
          f"a process {found['memory'] / 1e6:.0f} MB")  # fmt: skip
    for table in ORDER if found["full"]["tables"] else ():
        own, indexes = (each / count * A_LOT / 1e6 for each in found["full"]["tables"][table])
        print(f"  {table:24} {found['rows'][table]} a find   rows {own:6.2f} MB   indexes {indexes:6.2f} MB")
    print(f"  {A_LOT:,} finds with all that hangs on them: {a_lot / 1e6:.1f} MB")
    whole = CLUBS * empty + FEDERATION / A_LOT * a_lot
    print(
        f"  {CLUBS:,} clubs with {FEDERATION:,} finds, worked out: {CLUBS * empty / 1e9:.0f} GB of empty clubs + "
        f"{FEDERATION / A_LOT * a_lot / 1e9:.0f} GB of records = {whole / 1e9:.0f} GB"
    )


def main(count: int) -> None:
    with tempfile.TemporaryDirectory(prefix="federation-") as folder:
        os.environ |= {
            "DJANGO_SECRET_KEY": "benchmark",
            "DJANGO_ALLOWED_HOSTS": "localhost",
            "MEDIA_ROOT": folder,
        }
        print(f"{count:,} finds really inserted; all else is worked out from them")
        report("PostgreSQL", on_postgresql(count, Path(folder)), count)
        report("SQLite", on_sqlite(count, Path(folder)), count)


if __name__ == "__main__":
    words = sys.argv[1:]
    if len(words) > 1:
        child(int(words[0]), Path(words[1]))
    else:
        main(int(words[0]) if words else FINDS)
