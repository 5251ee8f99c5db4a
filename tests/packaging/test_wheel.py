"""The wheel holds what git tracks, no more and no less, and works in an environment of its own.

The new environment borrows only what mailby depends on, by a path file, so that the test needs no
network; that the wheel names all of it is checked against the imports of the code.
"""

import ast
import os
import re
import subprocess
import sys
import sysconfig
import zipfile
from collections.abc import Sequence
from email import message_from_string
from email.message import Message
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SHIPPED = {
    "forms_templates": "compliance/_shipped/forms_templates",
    "demo_data": "compliance/_shipped/demo_data",
}

pytestmark = pytest.mark.slow


def call(argv: Sequence[str], cwd: Path = ROOT, **environment: str) -> str:
    done = subprocess.run(
        list(argv),
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
        cwd=cwd,
        env=os.environ | environment,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    call([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)])
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def mailby(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command as installed from the wheel into a new environment."""
    folder = tmp_path_factory.mktemp("env")
    call([sys.executable, "-m", "venv", str(folder)])
    scripts = folder / ("Scripts" if os.name == "nt" else "bin")
    python = scripts / "python"
    call([str(python), "-m", "pip", "install", "--no-deps", "--no-index", "--quiet", str(wheel)])
    place = call([str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"])
    path_file = Path(place.strip()) / "borrowed.pth"
    path_file.write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return scripts / "mailby"


def metadata(wheel: Path) -> Message:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = [one for one in archive.namelist() if one.endswith(".dist-info/METADATA")]
        return message_from_string(archive.read(name).decode())


def test_wheel_holds_what_git_tracks(wheel: Path) -> None:
    tracked = call(["git", "ls-files", "-z"]).split("\0")
    wanted = {name for name in tracked if name.startswith("compliance/")}
    for folder, inside in SHIPPED.items():
        wanted |= {
            inside + name.removeprefix(folder) for name in tracked if name.startswith(f"{folder}/")
        }
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}

    assert (sorted(held - wanted), sorted(wanted - held)) == ([], [])


def test_wheel_bytes_are_the_ones_in_the_tree(wheel: Path) -> None:
    places = {inside: folder for folder, inside in SHIPPED.items()}
    with zipfile.ZipFile(wheel) as archive:
        for name in archive.namelist():
            if ".dist-info/" in name:
                continue
            source = next(
                (
                    folder + name.removeprefix(inside)
                    for inside, folder in places.items()
                    if name.startswith(inside)
                ),
                name,
            )

            assert archive.read(name) == (ROOT / source).read_bytes()


def test_wheel_carries_the_licences(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = [name for name in archive.namelist() if "/licenses/" in name]

    assert [name.partition("/licenses/")[2] for name in sorted(names)] == [
        "LICENSE",
        "compliance/outputs/fonts/LICENSE.txt",
    ]


def test_wheel_names_every_package_the_code_imports(wheel: Path) -> None:
    imported = set()
    for path in (ROOT / "compliance").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                imported |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                imported.add((node.module or "").partition(".")[0])
    foreign = imported - set(sys.stdlib_module_names) - {"compliance"}
    owners = packages_distributions()
    needed = {normal(owners[name][0]) for name in foreign}
    named = {
        normal(re.split(r"[^A-Za-z0-9._-]", line)[0])
        for line in metadata(wheel).get_all("Requires-Dist", [])
    }
    # SQLModel hands out SQLAlchemy's own objects and requires it.
    assert needed - {"sqlalchemy"} <= named


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def test_installed_command_shows_the_demo(mailby: Path, tmp_path: Path) -> None:
    out = call([str(mailby), "demo", "--into", "demo"], cwd=tmp_path, HOME=str(tmp_path))
    golden = (ROOT / "tests" / "golden" / "plan.txt").read_text(encoding="utf-8")

    assert out.startswith(golden)
    assert (tmp_path / "demo" / "plan.txt").read_text(encoding="utf-8") == golden
    assert (tmp_path / "demo" / "deadlines.ics").stat().st_size > 10_000


def test_installed_command_checks_its_rules(mailby: Path, tmp_path: Path) -> None:
    out = call([str(mailby), "rules", "check"], cwd=tmp_path, HOME=str(tmp_path))

    assert out.startswith("the rules table is sound: ")


def test_installed_package_is_the_wheels_own(mailby: Path, tmp_path: Path) -> None:
    code = "import compliance, sys; print(compliance.__file__.startswith(sys.prefix))"

    assert call([str(mailby.with_name("python")), "-c", code], cwd=tmp_path) == "True\n"
