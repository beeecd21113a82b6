"""The script of the roles on a real server: an owner upgrades, a clerk adds to the history and cannot change it, a reader reads."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import errors

from tests.cli.running import Wearlog, runner
from tests.servers import Server
from tests.store.dumping import fill
from wearlog.errors import NoAnswerError, RefusedError
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.files.undo import undo
from wearlog.store.copying import mark_of
from wearlog.store.engine import explained, make_engine
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import open_store
from wearlog.store.schema import metadata
from wearlog.store.server_copies import CLERK, HISTORY, OWNER, READER, back_up, restore_on_server, roles_script

pytestmark = pytest.mark.postgres

PEOPLE = {"wearlog_olga": OWNER, "wearlog_carl": CLERK, "wearlog_rita": READER, "wearlog_nils": None}


@pytest.fixture
def farm_place(server: Server, empty_server_location: Location) -> Iterator[Location]:
    """A log on a server on which the script ran, with a person in each role and one in none."""
    start_log(empty_server_location).close()
    with psycopg.connect(empty_server_location.name, autocommit=True) as admin:
        admin.execute(roles_script().encode())
        for person, role in PEOPLE.items():
            admin.execute(f"CREATE ROLE {person} LOGIN".encode())
            if role is not None:
                admin.execute(f"GRANT {role} TO {person}".encode())
        yield empty_server_location
        admin.execute(f"REASSIGN OWNED BY {OWNER} TO postgres".encode())
        for role in (*PEOPLE, OWNER, CLERK, READER):
            admin.execute(f"DROP OWNED BY {role}; DROP ROLE {role}".encode())


def as_person(place: Location, person: str) -> Location:
    return Location(url=place.url.replace("//postgres@", f"//{person}@"))


def refused(place: Location, person: str, statement: str) -> bool:
    """Say whether the server itself refuses a statement for want of the right to it."""
    with psycopg.connect(as_person(place, person).name) as connection:
        try:
            connection.execute(statement.encode())
        except errors.InsufficientPrivilege:
            return True
        finally:
            connection.rollback()
    return False


def test_a_clerk_does_all_that_the_log_is_for(farm_place: Location) -> None:
    """Rows in every table, an edit, a void, an undo and the undo of it, and a look through all of it."""
    store = open_store(as_person(farm_place, "wearlog_carl"))
    fill(store)
    with store.reading() as connection:
        assert all(one.rows for one in mark_of(connection).tables.values())
    assert inspect_log(store).problems == ()
    store.close()


def test_a_clerk_works_by_command(farm_place: Location, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    wearlog: Wearlog = runner(capsys)
    clerk = as_person(farm_place, "wearlog_carl").name
    for words in (
        ("add", "combine", "Kestrel", "--engine", "2310", "--separator", "1702"),
        ("add", "header", "North", "--width", "40ft", "--knife", "160"),
        ("hitch", "north", "kestrel"),
        ("undo",),
        ("export", str(tmp_path / "sheets")),
        ("import", str(tmp_path / "sheets")),
        ("pack", str(tmp_path / "stick.bundle")),
        ("merge", str(tmp_path / "stick.bundle"), "--yes"),
        ("check",),
        ("brief",),
    ):
        ran = wearlog(*words, "--db", clerk)
        assert ran.code == 0, (words, ran)


@pytest.mark.parametrize("table", [*HISTORY, "alembic_version"])
@pytest.mark.parametrize("person", ["wearlog_carl", "wearlog_rita"])
@pytest.mark.promise(
    about="roles on a server",
    fault="a clerk or a reader tries to change or drop history, past wearlog",
    holds="the server refuses it",
    on="a server",
)
def test_neither_clerk_nor_reader_changes_or_drops_history(farm_place: Location, table: str, person: str) -> None:
    first = {"alembic_version": "version_num", "version_parent": "version_id"}.get(table, "id")
    for statement in (
        f"UPDATE {table} SET {first} = {first}",
        f"DELETE FROM {table}",
        f"TRUNCATE {table} CASCADE",
        f"DROP TABLE {table} CASCADE",
        f"ALTER TABLE {table} RENAME TO other",
        f"ALTER TABLE {table} DISABLE TRIGGER ALL",
        f"CREATE RULE nothing AS ON INSERT TO {table} DO INSTEAD NOTHING",
    ):
        assert refused(farm_place, person, statement), statement


@pytest.mark.promise(
    about="roles on a server",
    fault="a clerk tries to delete rows or make tables",
    holds="the server refuses it",
    on="a server",
)
def test_a_clerk_deletes_no_row_and_makes_no_table(farm_place: Location) -> None:
    owned = {
        "breakage_position",
        "fault_condition",
        "outside_line_row",
        "part_kind_word",
        "run_condition",
        "set_up_kind",
    }
    for table in metadata.tables:
        assert refused(farm_place, "wearlog_carl", f"DELETE FROM {table}") == (table not in owned), table
        assert refused(farm_place, "wearlog_carl", f"TRUNCATE {table} CASCADE"), table
        assert not refused(farm_place, "wearlog_carl", f"SELECT * FROM {table}"), table
    assert refused(farm_place, "wearlog_carl", "CREATE TABLE mine (id int)")
    assert refused(farm_place, "wearlog_carl", f"SET ROLE {OWNER}")


@pytest.mark.promise(
    about="roles on a server",
    fault="a reader tries to write",
    holds="the server refuses it, and wearlog says so",
    on="a server",
)
def test_a_reader_reads_everything_and_writes_nothing(farm_place: Location) -> None:
    for table in metadata.tables.values():
        first = next(iter(table.columns)).name
        assert not refused(farm_place, "wearlog_rita", f"SELECT * FROM {table.name}")
        for statement in (
            f"INSERT INTO {table.name} DEFAULT VALUES",
            f"UPDATE {table.name} SET {first} = {first}",
            f"DELETE FROM {table.name}",
            f"TRUNCATE {table.name} CASCADE",
            f"LOCK TABLE {table.name} IN SHARE ROW EXCLUSIVE MODE",
        ):
            assert refused(farm_place, "wearlog_rita", statement), statement
    store = open_store(as_person(farm_place, "wearlog_rita"))
    assert inspect_log(store).problems == ()
    with pytest.raises(RefusedError, match="You may only read this log, so nothing was saved"):
        fill(store)
    store.close()


@pytest.mark.promise(
    about="roles on a server",
    fault="somebody without a role connects",
    holds="they are not let in, and told whom to ask",
    on="a server",
)
def test_who_has_no_role_is_not_let_in(farm_place: Location) -> None:
    with pytest.raises(NoAnswerError, match="is not open to you") as raised:
        open_store(as_person(farm_place, "wearlog_nils"))
    assert "wearlog roles" in raised.value.hint


@pytest.mark.promise(
    about="roles on a server",
    fault="a clerk tries to put a copy in the place of the log",
    holds="it is refused, the log is as it was",
    on="a server",
)
def test_only_an_owner_puts_a_copy_in_the_place_of_the_log(farm_place: Location, tmp_path: Path) -> None:
    """A reader may make the copy; a clerk is told that he may not put it back, and nothing happens."""
    clerk = open_store(as_person(farm_place, "wearlog_carl"))
    fill(clerk)
    reader = open_store(as_person(farm_place, "wearlog_rita"))
    copied = back_up(reader, tmp_path / "copy.db")
    reader.close()
    undo(clerk)
    with clerk.reading() as connection:
        stood = mark_of(connection)
    with pytest.raises(RefusedError, match="Only who has the role of an owner"):
        restore_on_server(clerk.location, copied.file)
    with clerk.reading() as connection:
        assert mark_of(connection) == stood
    assert restore_on_server(as_person(farm_place, "wearlog_olga"), copied.file).mark == copied.mark
    # the rights are as they were: the clerk goes on
    with clerk.reading() as connection:
        assert mark_of(connection) == copied.mark
    undo(clerk)
    assert refused(farm_place, "wearlog_carl", "DELETE FROM deed")
    clerk.close()


def test_only_an_owner_changes_tables_as_an_upgrade_does(farm_place: Location) -> None:
    changing = (
        "ALTER TABLE field ADD COLUMN tried int",
        "CREATE TABLE tried (id int)",
        "CREATE INDEX tried ON field (name)",
    )
    clerk = make_engine(as_person(farm_place, "wearlog_carl"))
    for statement in changing:
        with (
            pytest.raises(RefusedError, match="You may not make or change tables on this server"),
            explained(farm_place),
            clerk.begin() as connection,
        ):
            connection.exec_driver_sql(statement)
        assert not refused(farm_place, "wearlog_olga", statement), statement
    clerk.dispose()


def test_running_the_script_again_changes_nothing(farm_place: Location) -> None:
    asking = (
        "SELECT relname, relowner, relacl FROM pg_class WHERE relnamespace = 'public'::regnamespace ORDER BY relname"
    )
    with psycopg.connect(farm_place.name, autocommit=True) as admin:
        before = admin.execute(asking).fetchall()
        admin.execute(roles_script().encode())
        assert admin.execute(asking).fetchall() == before


def test_the_script_is_what_psql_reads(
    farm_place: Location, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """As its first lines say: printed into a file, and the file handed over."""
    ran = runner(capsys)("roles")
    assert (ran.code, ran.out) == (0, roles_script())
    with psycopg.connect(farm_place.name, autocommit=True) as admin:
        whole = b"".join(f"{line}\n".encode() for line in ran.out.splitlines() if not line.startswith("--"))
        admin.execute(whole)
