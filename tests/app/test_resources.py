"""Files are there whole or not at all, whatever the disk does; what the user names is read safely.

Each failure is a real one: a folder in the way, a user without rights, a limit on the size of
files, a process that kills itself.
"""

import errno
import os
import signal
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from compliance.app.resources import (
    _cannot_write,
    read_rules_files,
    read_template_files,
    read_user_text,
    shipped_folder,
    write_file,
    write_files,
)
from compliance.base.problems import DataProblemsError, NotFoundError, OutputError
from compliance.base.sources import MAX_BYTES

# A program that writes b.txt after a.txt into folder argv[1] as a user without rights.
UNPRIVILEGED = """
import os, sys
from pathlib import Path
from compliance.app.resources import write_files
from compliance.base.problems import OutputError

if os.geteuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
try:
    write_files(Path(sys.argv[1]), {"a.txt": b"new a", "b.txt": b"new b"})
except OutputError as error:
    print(error.message)
"""

# A program that may not write more than 1,000 bytes into one file.
LIMITED = """
import resource, signal, sys
from pathlib import Path
from compliance.app.resources import write_files
from compliance.base.problems import OutputError

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_files(Path(sys.argv[1]), {"a.txt": b"new a", "b.txt": b"b" * 5000})
except OutputError as error:
    print(error.message)
"""

# A program that is killed between the writing and the renaming of its first file.
KILLED = """
import os, signal, sys
from pathlib import Path
from compliance.app.resources import write_files

Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
write_files(Path(sys.argv[1]), {"a.txt": b"new a", "b.txt": b"new b"})
"""


def run(program: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", program, str(folder)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def contents(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in folder.iterdir() if path.is_file()}


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that any user can enter, which pytest's own are not."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


def test_write_files_makes_folder_and_files_in_order(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "deep"

    written = write_files(folder, {"b.txt": b"b", "a.txt": b"a"})

    assert written == (folder / "b.txt", folder / "a.txt")
    assert contents(folder) == {"a.txt": "a", "b.txt": "b"}


def test_write_files_same_bytes_leaves_the_file_alone(tmp_path: Path) -> None:
    path = write_file(tmp_path / "a.txt", b"a")
    os.utime(path, ns=(1, 1))
    before = path.stat()

    write_file(path, b"a")

    assert (path.stat().st_mtime_ns, path.stat().st_ino) == (1, before.st_ino)


def test_write_file_is_readable_as_the_mask_allows(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        path = write_file(tmp_path / "a.txt", b"a")
    finally:
        os.umask(mask)

    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_write_files_second_name_is_a_folder_leaves_none(tmp_path: Path) -> None:
    (tmp_path / "b.txt").mkdir()

    with pytest.raises(OutputError) as caught:
        write_files(tmp_path, {"a.txt": b"a", "b.txt": b"b"})

    assert (
        caught.value.message == f"{tmp_path / 'b.txt'} is a folder; a file is to be written there"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["b.txt"]


def test_write_files_name_too_long_leaves_old_files(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("old a")

    with pytest.raises(OutputError, match="cannot be written: File name too long"):
        write_files(tmp_path, {"a.txt": b"new a", "b" * 300: b"b"})

    assert contents(tmp_path) == {"a.txt": "old a"}


def test_write_files_folder_is_a_file(tmp_path: Path) -> None:
    blocked = write_file(tmp_path / "file", b"mine")

    with pytest.raises(OutputError, match="cannot be written"):
        write_files(blocked / "below", {"a.txt": b"a"})

    assert contents(tmp_path) == {"file": "mine"}


def test_write_file_a_pipe_is_left_alone(tmp_path: Path) -> None:
    """A device such as /dev/null would be replaced by a file for the whole machine."""
    path = tmp_path / "pipe"
    os.mkfifo(path)

    with pytest.raises(OutputError) as caught:
        write_file(path, b"a")

    assert caught.value.message == f"{path} is no file and is left alone"
    assert stat.S_ISFIFO(path.stat().st_mode)


def test_write_file_follows_a_link(tmp_path: Path) -> None:
    """A calendar file linked into a folder that is synchronized must stay linked."""
    target = write_file(tmp_path / "synced" / "deadlines.ics", b"old")
    link = tmp_path / "deadlines.ics"
    link.symlink_to(target)

    assert write_file(link, b"new") == link

    assert (link.is_symlink(), target.read_bytes()) == (True, b"new")


def test_write_files_folder_without_rights_changes_nothing(open_folder: Path) -> None:
    (open_folder / "a.txt").write_text("old a")

    done = run(UNPRIVILEGED, open_folder)

    assert done.stderr == ""
    assert "Permission denied" in done.stdout
    assert contents(open_folder) == {"a.txt": "old a"}


@pytest.mark.parametrize("before", [{}, {"a.txt": "old a"}])
def test_write_files_second_rename_refused_puts_the_first_back(
    open_folder: Path, before: dict[str, str]
) -> None:
    """In a folder such as /tmp only the owner of a file may replace it: rename(2), EPERM."""
    (open_folder / "b.txt").write_text("somebody else's")
    open_folder.chmod(0o1777)
    for name, text in before.items():
        (open_folder / name).write_text(text)
        os.chown(open_folder / name, 65534, 65534)

    done = run(UNPRIVILEGED, open_folder)

    assert done.stderr == ""
    assert "Operation not permitted" in done.stdout
    assert contents(open_folder) == before | {"b.txt": "somebody else's"}


def test_write_files_no_room_for_the_second_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("old a")

    done = run(LIMITED, tmp_path)

    assert (done.stderr, done.returncode) == ("", 0)
    assert "File too large" in done.stdout
    assert contents(tmp_path) == {"a.txt": "old a"}


def test_write_files_full_disk_is_named(tmp_path: Path) -> None:
    """ENOSPC is what write(2) gives for "no room left on the device"."""
    error = _cannot_write(tmp_path, OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)))

    assert error.message == f"the disk is full; nothing was written to {tmp_path}"


def test_write_files_killed_leaves_no_half_file_under_a_name(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("old a")

    done = run(KILLED, tmp_path)
    named = {path.name: path.read_text() for path in tmp_path.glob("[!.]*")}

    assert done.returncode == -signal.SIGKILL
    assert named == {"a.txt": "old a"}
    assert write_file(tmp_path / "a.txt", b"new").read_bytes() == b"new"


def test_read_user_text_missing(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="there is no file"):
        read_user_text(str(tmp_path / "missing.yaml"))


def test_read_user_text_folder(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="is a folder, not a file"):
        read_user_text(str(tmp_path))


@pytest.mark.parametrize("name", ["", "a\0b", "\ud800", "x" * 5000])
def test_read_user_text_impossible_name(name: str) -> None:
    with pytest.raises(NotFoundError):
        read_user_text(name)


def test_read_user_text_endless_is_cut_short() -> None:
    with pytest.raises(DataProblemsError) as caught:
        read_user_text("/dev/zero")

    (problem,) = caught.value.problems
    assert (problem.code, f"{MAX_BYTES:,}" in problem.sentence) == ("S001", True)


def test_read_user_text_not_utf8_says_where(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"name: ok\ntown: Caf\xe9\n")

    with pytest.raises(DataProblemsError) as caught:
        read_user_text(str(path))

    (problem,) = caught.value.problems
    assert (problem.code, problem.place.line, problem.place.column) == ("S002", 2, 10)


def test_read_user_text_byte_order_mark_is_dropped(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbfname: ok\n")

    assert read_user_text(str(path)) == "name: ok\n"


def test_shipped_folder_missing() -> None:
    with pytest.raises(NotFoundError, match="the folder nowhere is missing"):
        shipped_folder("nowhere")


def test_shipped_files_are_read_by_name() -> None:
    rules, templates = read_rules_files(), read_template_files()

    assert list(rules) == sorted(rules)
    assert "faa.yaml" in rules
    assert list(templates) == sorted(templates)
    assert "faa-8050-1.yaml" in templates
