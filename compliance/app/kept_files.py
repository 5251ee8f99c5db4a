"""Copies of the files a check looked at, and the pictures it made of them."""

import re
from dataclasses import replace
from pathlib import Path

from compliance.app.checking import Checking
from compliance.app.resources import write_files
from compliance.base.problems import OutputError
from compliance.scan.model import PageFinding

_SUFFIX = re.compile(r"\.[A-Za-z0-9]{1,5}")
_NOT_IN_NAMES = re.compile(r"[^A-Za-z0-9-]+")
_LONGEST = 60


def keep_copies(checking: Checking, folder: Path) -> Checking:
    """Keep a copy of every file of a check, readable by the owner alone.

    Raises:
        OutputError: A copy cannot be written.
    """
    files = []
    # Closed before anything is in it: these papers show addresses and signatures.
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        raise OutputError(f"{folder} cannot be made: {error.strerror}") from None
    for seen in checking.files:
        path = Path(seen.path)
        if seen.kept or not path.is_file():
            files.append(seen)
            continue
        data = path.read_bytes()
        ending = path.suffix if _SUFFIX.fullmatch(path.suffix) else ""
        name = f"{checking.packet.replace(':', '_')}_{checking.turn}_{seen.sha256[:16]}{ending}"
        kept = write_files(folder, {name: data})[0]
        kept.chmod(0o600)
        files.append(replace(seen, kept=str(kept)))
    return replace(checking, files=tuple(files))


def list_pictures(pages: tuple[PageFinding, ...], stem: str) -> dict[str, bytes]:
    """Give the marked pages and the crops of what is not plainly present: file name -> PNG.

    The name of a place may have been typed by hand; no part of it leads out of the folder.
    """
    found: dict[str, bytes] = {}
    for number, page in enumerate(pages, 1):
        if page.marked:
            found[f"{stem}_page{number}.png"] = page.marked
        for finding in page.findings:
            if finding.crop:
                place = _NOT_IN_NAMES.sub("-", finding.region.id)[:_LONGEST]
                name, again = f"{stem}_page{number}_{place}", 1
                while f"{name}.png" in found:
                    again += 1
                    name = f"{stem}_page{number}_{place}_{again}"
                found[f"{name}.png"] = finding.crop
    return found
