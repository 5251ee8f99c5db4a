"""Two files are two states of one pack, whatever they are called; the township is invented."""

from collections.abc import Callable
from pathlib import Path

from tests.kit_packs import TOWNSHIP

Run = Callable[[list[str]], tuple[int, str, str]]
NEWER = TOWNSHIP.replace("reviewed: 2026-12-01", "reviewed: 2027-01-04")


def write() -> None:
    Path("spring.yaml").write_text(TOWNSHIP, encoding="utf-8")
    Path("autumn.yaml").write_text(NEWER, encoding="utf-8")


def test_two_files_are_two_states_of_a_pack_that_is_kept(run: Run, isolated: Path) -> None:
    """A pack kept under the name of either, or from a file of that name, counts on no side."""
    write()
    plain = run(["rules", "diff", "spring.yaml", "autumn.yaml"])
    for name in ([], ["--as", "adviser"]):
        assert run(["rules", "add", "spring.yaml", *name])[0] == 0
        assert run(["rules", "diff", "spring.yaml", "autumn.yaml"]) == plain
        assert run(["rules", "drop", *(name[1:] or ["spring"])])[0] == 0

    code, out, err = plain
    assert (code, err) == (0, "")
    assert isolated == Path.cwd()
    assert "reviewed on: Tue 1 Dec 2026 -> Mon 4 Jan 2027" in out


def test_newer_state_of_a_kept_pack_under_another_name_is_told_the_remedy(
    run: Run, isolated: Path
) -> None:
    """Compared with the table and its packs, the file has to have the name of the pack."""
    write()
    assert isolated == Path.cwd()
    assert run(["rules", "add", "spring.yaml"])[0] == 0

    code, out, err = run(["rules", "diff", "--shipped", "autumn.yaml"])

    assert (code, out) == (3, "")
    assert "stands twice for the same days; first at spring.yaml:" in err
    assert (
        "hint: if this is a newer state of your pack spring, give its file the name spring.yaml; "
        "else give it another id, or `applies_from` and `applies_until` of its own\n"
    ) in err
    Path("newer").mkdir()
    Path("newer", "spring.yaml").write_text(NEWER, encoding="utf-8")
    assert run(["rules", "diff", "--shipped", "newer/spring.yaml"])[0] == 0
