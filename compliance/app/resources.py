"""Find what ships with the program, read what the user names, write files in one step."""

import contextlib
import errno
import os
import tempfile
from collections.abc import Container, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from compliance.base.problems import (
    DataProblemsError,
    NotFoundError,
    OutputError,
    Problem,
    RefusedError,
    SourceRef,
)
from compliance.base.sources import MAX_BYTES, decode_text
from compliance.facts.states import STATES

MOST_FILE_BYTES = 64_000_000


def shipped_folder(name: str) -> Traversable:
    """Find a folder that ships beside the package: in a wheel below it, in a checkout next to it.

    Raises:
        NotFoundError: The installation is damaged.
    """
    package = files("compliance")
    inside = package / "_shipped" / name
    if inside.is_dir():
        return inside
    beside = Path(str(package)).parent / name
    if beside.is_dir():
        return beside
    raise NotFoundError(f"the folder {name} is missing from this installation", hint="install anew")


def read_folder(folder: Traversable) -> dict[str, str]:
    """Read every YAML file of a folder: file name -> text, by name."""
    return {
        entry.name: entry.read_text(encoding="utf-8")
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".yaml")
    }


def read_rules_files(states: Container[str] | None = None) -> dict[str, str]:
    """Read the shipped rules table: file name -> text.

    Shape: with *states* (codes such as NE) the files of other states are left out.
    """
    found = read_folder(files("compliance.rules") / "table")
    if states is None:
        return found
    codes = {name: name.removesuffix(".yaml").upper() for name in found}
    return {
        name: found[name] for name, code in codes.items() if code not in STATES or code in states
    }


def read_template_files() -> dict[str, str]:
    """Read the shipped form templates: file name -> text."""
    return read_folder(shipped_folder("forms_templates"))


def read_user_text(path: str) -> str:
    """Read a text file the user named.

    Raises:
        NotFoundError: There is no such file, or it cannot be opened.
        DataProblemsError: It is not UTF-8 text, or too long.
    """
    try:
        with Path(path).open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise NotFoundError(f"there is no file {path}", hint="check the name and folder") from None
    except IsADirectoryError:
        raise NotFoundError(f"{path} is a folder, not a file", hint="name a file in it") from None
    except (OSError, ValueError) as error:
        what = error.strerror if isinstance(error, OSError) else str(error)
        hint = "check its name, and that you may open it"
        raise NotFoundError(f"{path!r} cannot be read: {what}", hint=hint) from None
    if len(data) > MAX_BYTES:
        sentence = f"the file is longer than {MAX_BYTES:,} bytes, the most that is read"
        place = SourceRef(file=path)
        problem = Problem(place=place, code="S001", sentence=sentence, hint="split the file")
        raise DataProblemsError((problem,))
    text, problems = decode_text(data, path)
    if problems:
        raise DataProblemsError(problems)
    return text


def read_binary(path: str) -> bytes:
    """Read a file the user named.

    Raises:
        NotFoundError: There is no such file, or it cannot be opened.
        RefusedError: It is larger than 64 MB.
    """
    try:
        with Path(path).open("rb") as stream:
            data = stream.read(MOST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        what = error.strerror if isinstance(error, OSError) else str(error)
        hint = "check its name, and that you may open it"
        raise NotFoundError(f"{path!r} cannot be read: {what}", hint=hint) from None
    if len(data) > MOST_FILE_BYTES:
        raise RefusedError(f"{path} is larger than {MOST_FILE_BYTES // 1_000_000} MB")
    return data


def write_files(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder so that all of them are there whole, or nothing has changed.

    All are written beside their place first; only when every one is complete do they take their
    names. The folder is made when missing. A file that has the same bytes already is left alone; of
    a link, the file it leads to is written.

    Raises:
        OutputError: The folder or a file cannot be written; no file has changed.
    """
    temporary: list[tuple[Path, Path]] = []
    replaced: list[tuple[Path, bytes | None]] = []
    try:
        if contents:
            folder.mkdir(parents=True, exist_ok=True)
        for name, data in contents.items():
            path = Path(os.path.realpath(folder / name))
            _refuse_special(path)
            if not _holds(path, data):
                temporary.append((_write_beside(path, data), path))
        while temporary:
            made, path = temporary[0]
            before = path.read_bytes() if path.exists() else None
            made.replace(path)
            temporary.pop(0)
            replaced.append((path, before))
    except OSError as error:
        _put_back(replaced)
        raise _cannot_write(folder, error) from None
    finally:
        for made, _ in temporary:
            with contextlib.suppress(OSError):
                made.unlink()
    return tuple(folder / name for name in contents)


def write_private_files(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files that only their owner may read, into a folder that only its owner may open.

    Raises:
        OutputError: As :func:`write_files`.
    """
    # Closed before anything is in it: these papers show names and addresses.
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        raise OutputError(f"{folder} cannot be made: {error.strerror}") from None
    paths = write_files(folder, contents)
    for path in paths:
        path.chmod(0o600)
    return paths


def _refuse_special(path: Path) -> None:
    """Refuse a name that is taken by a folder or a device; a device would be replaced by a file."""
    if path.is_dir():
        raise OutputError(f"{path} is a folder; a file is to be written there")
    if path.exists() and not path.is_file():
        raise OutputError(f"{path} is no file and is left alone", hint="name a file")


def _put_back(replaced: list[tuple[Path, bytes | None]]) -> None:
    """Undo the files of a group that had taken their names before another of them failed."""
    for path, before in replaced:
        with contextlib.suppress(OSError):
            if before is None:
                path.unlink()
            else:
                _write_beside(path, before).replace(path)


def write_file(path: Path, data: bytes) -> Path:
    """Write one file whole or not at all; see :func:`write_files`."""
    return write_files(path.parent, {path.name: data})[0]


def _holds(path: Path, data: bytes) -> bool:
    return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data


def _write_beside(path: Path, data: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=path.parent)
    made = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        made.chmod(0o644 & ~_umask())
    except BaseException:
        made.unlink(missing_ok=True)
        raise
    return made


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _cannot_write(folder: Path, error: OSError) -> OutputError:
    name = error.filename or folder
    if error.errno == errno.ENOSPC:
        return OutputError(
            f"the disk is full; nothing was written to {folder}", hint="free some space"
        )
    what = error.strerror or str(error)
    return OutputError(f"{name} cannot be written: {what}", hint="choose another place with -o")
