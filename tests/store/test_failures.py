"""What happens to a season's papers when the machine fails: lock, damage, no space, a killed run.

Each failure is a real one: a second connection, bytes cut off, a process that kills itself, a user
without rights. SQLite's promises are those of https://sqlite.org/atomiccommit.html.
"""

import json
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.base.problems import StoreError
from compliance.facts.model import Operation
from compliance.store.repository import load_operation, load_operation_ids, save_operation
from compliance.store.session import open_session

Run = Callable[..., tuple[int, str, str]]

# A program that runs each program it is given in a process of its own, forked with all that is
# needed loaded, because starting Python anew takes longer than most of the programs. A process that
# hangs is ended by its alarm. It tells how each ended, as `subprocess` does.
STARTER = """
import json, os, signal, sys, traceback
import compliance.store.repository
import compliance.store.session

def work(program, arguments, files):
    signal.alarm(60)
    for number, file in enumerate(files, 1):
        os.dup2(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), number)
    sys.argv = ["-c", *arguments]
    code = 0
    try:
        exec(program, {"__name__": "__main__"})
    except BaseException:
        traceback.print_exc()
        code = 1
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)

for line in sys.stdin:
    child = os.fork()
    if child == 0:
        work(*json.loads(line))
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""

# A program that changes the operation in file argv[1] and kills itself at statement argv[2] of the
# session. The cache of one page makes SQLite write changed pages to the file long before the end,
# so that the file really is in disorder at the time.
KILLED = """
import os, signal, sys
from dataclasses import replace
from sqlalchemy import Engine, event
from compliance.store.repository import load_operation, save_operation
from compliance.store.session import open_session

left = int(sys.argv[2])

@event.listens_for(Engine, "connect")
def shrink(connection, record):
    connection.execute("PRAGMA cache_size = 1")

@event.listens_for(Engine, "after_cursor_execute")
def count(connection, cursor, statement, parameters, context, executemany):
    global left
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)

with open_session(sys.argv[1]) as session:
    old = load_operation(session, "sandbur")
    if old is not None:
        jobs = tuple(replace(old.jobs[0], id=f"j{at}", note="x" * 900) for at in range(400))
        save_operation(session, replace(old, legal_name="changed", jobs=jobs), namespace="n")
print(1000 - left)
"""

# A program that, as a user without rights over root's files, reads or changes file argv[1].
# All that is needed is loaded first, because the interpreter's own files may be out of reach later.
UNPRIVILEGED = """
import os, sys
from dataclasses import replace
from compliance.base.problems import StoreError
import compliance.store.operation_rows  # whom the program becomes may not reach its code
from compliance.store.repository import load_operation, load_operation_ids, save_operation
from compliance.store.session import open_session

with open_session(":memory:") as session:
    load_operation_ids(session)
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
try:
    with open_session(sys.argv[1]) as session:
        old = load_operation(session, "sandbur")
        print(load_operation_ids(session))
        if sys.argv[2] == "change":
            save_operation(session, replace(old, legal_name="changed"), namespace="n")
except StoreError as error:
    print(error.message)
    print(error.hint)
"""

# A program that may not write files above argv[2] bytes and makes the operation of argv[1] larger.
LIMITED = """
import resource, sys
from dataclasses import replace
from compliance.base.problems import StoreError
from compliance.store.repository import load_operation, save_operation
from compliance.store.session import open_session

resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), int(sys.argv[2])))
try:
    with open_session(sys.argv[1]) as session:
        old = load_operation(session, "sandbur")
        jobs = tuple(replace(old.jobs[0], id=f"j{at}", note="x" * 900) for at in range(400))
        save_operation(session, replace(old, jobs=jobs), namespace="n")
except StoreError as error:
    print(error.message)
"""


@pytest.fixture
def kept(db: Path, operation: Operation) -> Path:
    """A database file with the operation in it."""
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
    return db


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that any user can enter, which pytest's own are not."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def load(db: Path) -> Operation | None:
    with open_session(str(db)) as session:
        return load_operation(session, "sandbur")


def enlarge(operation: Operation) -> Operation:
    """Give the operation far more jobs than fit on the pages it has."""
    job = operation.jobs[0]
    jobs = tuple(replace(job, id=f"j{at}", note="x" * 900) for at in range(400))
    return replace(operation, legal_name="changed", jobs=jobs)


def save_with_pages(session: Session, operation: Operation, pages: int) -> None:
    session.connection().exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    save_operation(session, operation, namespace="n")


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Run]:
    """A program in a process of its own: text and arguments in, (exit code, output, error) out."""
    folder = tmp_path_factory.mktemp("said")
    files = (folder / "output", folder / "error")
    with subprocess.Popen(
        [sys.executable, "-c", STARTER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as starter:

        def run_program(program: str, *arguments: str) -> tuple[int, str, str]:
            assert starter.stdin is not None
            assert starter.stdout is not None
            print(
                json.dumps([program, arguments, [str(file) for file in files]]),
                file=starter.stdin,
                flush=True,
            )
            code = int(starter.stdout.readline())
            output, error = (file.read_text(encoding="utf-8") for file in files)
            return code, output, error

        yield run_program


def run_unprivileged(run: Run, db: Path, what: str) -> list[str]:
    code, output, error = run(UNPRIVILEGED, str(db), what)
    assert (code, error) == (0, "")
    return output.splitlines()


@pytest.mark.parametrize("lock", ["EXCLUSIVE", "IMMEDIATE"])
def test_change_of_a_locked_database_is_refused(
    kept: Path, operation: Operation, lock: str
) -> None:
    url = f"sqlite:///{kept}?timeout=0"
    with closing(sqlite3.connect(kept, isolation_level=None)) as other:
        other.execute(f"BEGIN {lock}")
        with pytest.raises(StoreError) as caught, open_session(url) as session:
            save_operation(session, replace(operation, jobs=()), namespace="n")

    assert caught.value.message == f"the database {kept} is locked"
    assert caught.value.hint == "another mailby is writing; wait a moment and try again"
    assert load(kept) == operation


def test_read_beside_an_unfinished_change_shows_the_old_state(
    kept: Path, operation: Operation
) -> None:
    with open_session(str(kept)) as session:
        save_operation(session, replace(operation, jobs=()), namespace="n")
        beside = load(kept)

    assert beside == operation
    assert load(kept) == replace(operation, jobs=())


def test_change_under_the_eyes_of_another_run_is_refused(kept: Path, operation: Operation) -> None:
    """Two runs at once: nobody changes what the other has read and is about to write."""
    url = f"sqlite:///{kept}?timeout=0"
    first, second = (replace(operation, legal_name=name) for name in ("first", "second"))
    with open_session(url) as slow:
        load_operation(slow, "sandbur")
        with pytest.raises(StoreError) as caught, open_session(url) as quick:
            save_operation(quick, first, namespace="n")
        save_operation(slow, second, namespace="n")

    assert caught.value.message == f"the database {kept} is locked"
    assert load(kept) == second


def test_truncated_database_is_refused_wherever_it_is_cut(kept: Path) -> None:
    whole = kept.read_bytes()
    step = 512
    told = set()
    for size in range(step, len(whole), step):
        kept.write_bytes(whole[:size])
        with pytest.raises(StoreError) as caught:
            load(kept)
        told.add(caught.value.message)
        assert kept.read_bytes() == whole[:size]

    assert len(whole) > 20 * step
    assert told == {f"{kept} is not a database, or it is damaged"}


def test_text_that_is_no_unicode_is_told_as_damage(kept: Path) -> None:
    with closing(sqlite3.connect(kept)) as other:
        other.execute("UPDATE operation SET legal_name = CAST(x'53ff' AS TEXT)")
        other.commit()

    with pytest.raises(StoreError) as caught:
        load(kept)

    assert caught.value.message == f"{kept} is not a database, or it is damaged"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("DROP TABLE job", "no such table: job"),
        ("ALTER TABLE job DROP COLUMN products", "no such column: job.products"),
    ],
)
def test_database_of_an_earlier_mailby_is_refused(kept: Path, change: str, said: str) -> None:
    """What it lacks is SQLite's own word; the way out is told, and the file stays as it is."""
    with closing(sqlite3.connect(kept)) as other:
        other.execute(change)
    before = kept.read_bytes()

    with pytest.raises(StoreError) as caught, open_session(str(kept)) as session:
        load_operation(session, "sandbur")

    assert caught.value.message == (
        f"the database {kept} was made by an earlier mailby and lacks what this one keeps: {said}"
    )
    assert caught.value.hint == (
        "with that earlier mailby write out the facts (mailby export -o FILE), the log (--log) and "
        "the records (--records FILE), and read them into a new database with --db; this one was "
        "left alone"
    )
    assert caught.value.exit_code == 5
    assert kept.read_bytes() == before


def test_change_of_a_database_of_an_earlier_mailby_is_refused(
    kept: Path, operation: Operation
) -> None:
    """A column that is missed only on writing is told in the same way, and nothing is written."""
    with closing(sqlite3.connect(kept)) as other:
        other.execute("ALTER TABLE operation DROP COLUMN time_zone")
    before = kept.read_bytes()

    with pytest.raises(StoreError) as caught, open_session(str(kept)) as session:
        save_operation(session, operation, namespace="n")

    assert "was made by an earlier mailby and lacks what this one keeps" in caught.value.message
    assert kept.read_bytes() == before


def test_change_of_a_database_opened_for_reading_is_refused(
    kept: Path, operation: Operation
) -> None:
    """Source: https://sqlite.org/uri.html, mode=ro."""
    url = f"sqlite:///file:{kept}?mode=ro&uri=true"
    with open_session(url) as session:
        seen = load_operation(session, "sandbur")

    with pytest.raises(StoreError) as caught, open_session(url) as session:
        save_operation(session, replace(operation, jobs=()), namespace="n")

    assert seen == operation
    assert caught.value.message == f"the database file:{kept} can be read but not written"
    assert caught.value.hint == (
        "make the file and its folder writable, or choose another with --db"
    )


@pytest.mark.slow
def test_file_of_somebody_else_can_be_read_but_not_changed(
    run: Run, open_folder: Path, kept: Path, operation: Operation
) -> None:
    db = open_folder / "season.db"
    db.write_bytes(kept.read_bytes())
    db.chmod(0o444)

    seen = run_unprivileged(run, db, "read")
    told = run_unprivileged(run, db, "change")

    assert seen == ["('sandbur',)"]
    assert told == [
        "('sandbur',)",
        f"the database {db} can be read but not written",
        "make the file and its folder writable, or choose another with --db",
    ]
    assert load(db) == operation


@pytest.mark.slow
def test_change_in_a_folder_that_cannot_be_written_is_refused(
    run: Run, open_folder: Path, kept: Path, operation: Operation
) -> None:
    """The journal has no place to be written, though the file itself could be."""
    db = open_folder / "season.db"
    db.write_bytes(kept.read_bytes())
    db.chmod(0o666)
    open_folder.chmod(0o555)

    told = run_unprivileged(run, db, "change")

    assert told[0] == "('sandbur',)"
    assert told[1] == f"the database {db} can be read but not written"
    assert load(db) == operation


@pytest.mark.slow
def test_new_file_in_a_folder_that_cannot_be_written_is_refused(
    run: Run, open_folder: Path
) -> None:
    open_folder.chmod(0o555)

    told = run_unprivileged(run, open_folder / "season.db", "read")

    assert told == [
        f"the database {open_folder}/season.db cannot be made: Permission denied",
        "choose another place with --db FILE or MAILBY_DB",
    ]
    assert list(open_folder.iterdir()) == []


@pytest.mark.slow
def test_file_that_may_not_be_read_is_refused(run: Run, open_folder: Path, kept: Path) -> None:
    db = open_folder / "season.db"
    db.write_bytes(kept.read_bytes())
    db.chmod(0)

    told = run_unprivileged(run, db, "read")

    assert told[0] == f"the database {db} cannot be opened: unable to open database file"


def test_no_room_left_keeps_the_old_state(kept: Path, operation: Operation) -> None:
    """SQLite's own limit of pages gives the error of a full disk.

    Source: https://sqlite.org/rescode.html#full.
    """
    before = kept.read_bytes()
    with pytest.raises(StoreError) as caught, open_session(str(kept)) as session:
        save_with_pages(session, enlarge(operation), 40)

    assert caught.value.message == f"the disk is full; the database {kept} was not changed"
    assert caught.value.hint == "free some space; nothing of this change was kept"
    assert kept.read_bytes() == before


@pytest.mark.slow
def test_failing_write_keeps_the_old_state(run: Run, kept: Path, operation: Operation) -> None:
    """A file that may not grow stands for a disk that fails: write(2), EFBIG."""
    size = kept.stat().st_size

    code, output, error = run(LIMITED, str(kept), str(size + 8192))

    assert (code, error) == (0, "")
    assert output == f"the disk failed while the database {kept} was in use\n"
    assert load(kept) == operation


@pytest.mark.slow
def test_killed_run_leaves_the_database_whole(run: Run, kept: Path, operation: Operation) -> None:
    """Killed after every other statement of the save, back from the last."""
    whole = kept.read_bytes()
    code, output, error = run(KILLED, str(kept), "1000")
    assert (code, error) == (0, "")
    statements = int(output)
    changed = load(kept)
    disorder = 0
    for at in range(statements, statements - 12, -2):
        kept.write_bytes(whole)
        assert run(KILLED, str(kept), str(at)) == (-signal.SIGKILL, "", "")
        disorder += kept.read_bytes() != whole
        assert load(kept) == operation

    assert changed == enlarge(operation)
    assert statements > 12
    assert disorder > 0  # or the test would show nothing


@pytest.mark.slow
def test_killed_first_run_leaves_a_file_that_opens(run: Run, db: Path) -> None:
    code, output, error = run(KILLED, str(db), "1000")
    assert (code, error) == (0, "")
    statements = int(output)
    for at in range(statements - 12, statements + 1, 4):
        db.unlink()
        assert run(KILLED, str(db), str(at)) == (-signal.SIGKILL, "", "")
        with open_session(str(db)) as session:
            assert load_operation_ids(session) == ()

    assert statements > 12


@pytest.mark.slow
def test_folder_is_left_clean_after_each_failure(
    run: Run, kept: Path, operation: Operation
) -> None:
    """A killed run's journal is used up by the next one."""
    whole = kept.read_bytes()
    statements = run(KILLED, str(kept), "1000")[1].strip()
    kept.write_bytes(whole)
    assert run(KILLED, str(kept), statements) == (-signal.SIGKILL, "", "")
    assert len(list(kept.parent.iterdir())) == 2  # or there is nothing to use up

    with open_session(str(kept)) as session:
        save_operation(session, operation, namespace="n")

    assert [path.name for path in kept.parent.iterdir()] == [kept.name]
