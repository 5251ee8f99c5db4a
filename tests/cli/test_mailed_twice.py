"""A packet that was mailed, came back and was mailed again, as a user asks about it.

Days by hand from the rows of the shipped table: mailed Tuesday 12 January 2027, five postal days
without Monday 18 (a holiday) to Tuesday 19, 21 calendar days to 9 February, ten federal business
days without 15 February (a holiday) to 24 February.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.demo import LOG
from compliance.outputs.words import CAUTION, wrap

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "faa.registration-n:tg46"
SENT = ["--on", "2027-01-12", "--today", "2027-01-12"]
OVERDUE = ["--on", "2027-03-15"]
EXPRESS = ["--mail", "all=express"]


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log, the registration signed and notarized again."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    for kind in ("signed", "notarized"):
        assert loaded(["log", kind, PACKET, *SENT])[0] == 0
    return loaded


@pytest.fixture
def twice(logged: Run) -> Run:
    """The registration mailed a second time on 12 January."""
    assert logged(["log", "mailed", PACKET, *SENT, "--anyway", "tried"])[0] == 0
    return logged


def told(run: Run, name: str) -> str:
    """What `why` says of a name, on one line and without the caution."""
    code, out, err = run(["why", name, *OVERDUE])
    assert (code, err) == (0, "")
    return out.removesuffix(f"\n{wrap(CAUTION)}\n")


def row(out: str, label: str, within: str) -> list[str]:
    """The two columns of a line below the line that begins a job or a packet."""
    lines = out[out.index(f"  {within}") :].splitlines()
    line = next(one for one in lines if one.strip().startswith(label))
    return [line[38:60].strip(), line[60:].strip()]


def test_why_of_an_overdue_packet_counts_from_the_newest_mailing(twice: Run) -> None:
    """Before, it went from the first mailing, 30 November, straight to the mail of the answer."""
    out = told(twice, PACKET)

    assert out[out.index("Sent off:\n") :] == (
        """\
Sent off:
  1. Mail the packet at the counter and keep the proof: done on Tue 12 Jan 2027,
     mailing no. 2, from which its days count
     [faa.registration-n.mail: 90 FR 52883 (DMM 608.11, postmark date may follow
      the drop-off); edition: notice of 2025-11-24; the text itself was read]
  2. mailing no. 1, done on Mon 30 Nov 2026, came back on Wed 6 Jan 2027, so no
     day counts from it any more
  3. Aircraft registration with an N-number (Part 47) in hand by Mon 10 May
     2027, because `File the application in FAA's web system and keep the
     confirmation` waits for it

When it ought to have come, by usual days from the sending:
  1. Mail the packet at the counter and keep the proof: done on Tue 12 Jan 2027
     [faa.registration-n.mail: 90 FR 52883 (DMM 608.11, postmark date may follow
      the drop-off); edition: notice of 2025-11-24; the text itself was read]
  2. In the mail to the office: 5 postal days by first-class, over on Tue 19 Jan
     2027 at usual pace
     [faa.registration-n.transit: 39 CFR part 121; edition: rule notices of
      2021-08-11 and 2025-02-28; read only in somebody else's summary]
  3. At the Registry, in the pile and then in an examiner's hands: 21 calendar
     days, over on Tue 9 Feb 2027 at usual pace
     [faa.registration-n.review: common practice, no source]
  4. The certificate on its way to you: 10 federal business days, over on Wed 24
     Feb 2027 at usual pace
     [faa.registration-n.mail-back: FAA statement in trade news of 2025-02-18;
      edition: trade news of 2025-02-18; practitioner note of 2025; read only in
      somebody else's summary]
  5. OVERDUE since Wed 24 Feb 2027; when it will come is not known
"""
    )


@pytest.mark.parametrize(
    ("step", "answer"),
    [
        (
            "mail",
            (
                "Mail the packet at the counter and keep the proof (mailing no. 2): done on Tue 12 "
                "Jan 2027, so the log says."
            ),
        ),
        (
            "mail~1",
            (
                "Mail the packet at the counter and keep the proof (mailing no. 1, which came back "
                "on Wed 6 Jan 2027): done on Mon 30 Nov 2026, so the log says."
            ),
        ),
        (
            "review",
            (
                "At the Registry, in the pile and then in an examiner's hands (mailing no. 2): "
                "must be over by Mon 26 Apr 2027; at usual pace over on Tue 9 Feb 2027."
            ),
        ),
    ],
)
def test_why_of_a_step_says_of_which_mailing(twice: Run, step: str, answer: str) -> None:
    assert told(twice, f"{PACKET}/{step}").startswith(f"{wrap(answer)}\n\n")


def test_quicker_mail_leaves_what_is_in_the_mail(twice: Run) -> None:
    """Before, it was overdue since Friday 19 February with a change to express, three days less."""
    code, out, err = twice(["what-if", *EXPRESS, *OVERDUE])

    assert (code, err) == (0, "")
    assert (
        "  - every packet still to be sent goes by express; sent off already, and so\n"
        f"    stays as it is: {PACKET}\n"
    ) in out
    assert f"\n  {PACKET}" not in out
    assert "  4 packets stay as they are\n" in out
    mailed = row(out, "mail by, last", "ne.aerial-business")
    assert mailed == ["Wed 21 Apr 2027", "Sat 24 Apr 2027"]


def test_quicker_mail_that_is_kept_leaves_what_is_in_the_mail(twice: Run) -> None:
    """The log says by what service each went from then on, and reads in again."""
    assert twice(["what-if", *EXPRESS, *OVERDUE, "--keep"])[0] == 0
    text = " ".join(told(twice, PACKET).split())
    exported = twice(["export", "--log"])[1]
    Path("log.yaml").write_text(exported, encoding="utf-8")

    assert "OVERDUE since Wed 24 Feb 2027" in text
    assert "5 postal days by first-class, over on Tue 19 Jan 2027 at usual pace" in text
    assert exported.count("    service: first-class\n") == 2
    again = ["log", "import", "log.yaml", "--today", "2027-03-15"]
    assert (twice(again)[0], twice(["export", "--log"])[1]) == (0, exported)


def test_other_mail_service_in_a_loaded_file_leaves_what_is_in_the_mail(twice: Run) -> None:
    facts = twice(["export"])[1]
    changed = facts.replace("mail_service: first-class", "mail_service: express")
    assert changed != facts
    Path("changed.yaml").write_text(changed, encoding="utf-8")

    assert twice(["load", "changed.yaml"])[0] == 0
    assert "OVERDUE since Wed 24 Feb 2027" in told(twice, PACKET)


def test_log_read_in_again_goes_on_when_the_mail_service_changed(twice: Run) -> None:
    """A file that names no service begins with the entries whose service is known by now."""
    before = twice(["export", "--log"])[1]
    assert twice(["what-if", *EXPRESS, *OVERDUE, "--keep"])[0] == 0
    Path("before.yaml").write_text(before, encoding="utf-8")

    assert twice(["log", "import", "before.yaml", "--today", "2027-03-15"])[0] == 0
    assert twice(["export", "--log"])[1].count("service: first-class") == 2


def test_mailing_by_another_service_is_logged_so(logged: Run) -> None:
    """Two postal days to 14 January, 21 days to 4 February, ten federal ones to the 19th."""
    sent = logged(["log", "mailed", PACKET, *SENT, "--by", "Express", "--anyway", "tried"])
    history = logged(["history", PACKET, "--on", "2027-01-20"])[1]
    why = " ".join(logged(["why", f"{PACKET}/transit", "--on", "2027-01-13"])[1].split())

    assert sent == (
        0,
        (
            "logged as entry 9: Tue 12 Jan 2027: mailed faa.registration-n, TG-46 46-00017;\n"
            "  by express, reason: tried\n"
            f"  {PACKET}: at the office; it waits on the office\n"
            f"  ready Fri 19 Feb 2027 at usual pace\n\n{wrap(CAUTION)}\n"
        ),
        "",
    )
    assert "In the mail to the office: must be over by " in why
    assert "; it takes 2 postal days by express " in why
    assert "  Tue 12 Jan 2027  sent again by express, 6 days after it came back;" in history


@pytest.mark.parametrize(
    ("packet", "service", "code", "message"),
    [
        (
            PACKET,
            "pigeon",
            4,
            (
                "no mail service is called 'pigeon'\n"
                "  hint: one of: first-class, priority, express, courier\n"
            ),
        ),
        (
            "faa.ag-operator",
            "express",
            3,
            (
                "faa.ag-operator is filed, not mailed; no mail service carries it\n"
                "  hint: leave out --by\n"
            ),
        ),
    ],
)
def test_service_that_cannot_be_is_refused(
    logged: Run, packet: str, service: str, code: int, message: str
) -> None:
    """Nothing is logged then."""
    before = logged(["export", "--log"])

    assert logged(["log", "mailed", packet, *SENT, "--by", service]) == (code, "", message)
    assert logged(["export", "--log"]) == before


def test_returned_packet_may_go_again_another_way(twice: Run) -> None:
    """Before, it was refused as sent off already."""
    day = ["--on", "2027-02-01"]
    mail = ["--mail", f"{PACKET}=express"]
    code, out, err = twice(["what-if", "--returned", PACKET, *mail, *day])
    refused = twice(["what-if", *mail, *day])

    assert (code, err) == (0, "")
    assert f"  - {PACKET} goes by express when it is sent again\n" in out
    assert refused == (3, "", f"{PACKET} was sent off on Tue 12 Jan 2027 already\n")


def test_what_comes_back_goes_again_by_the_service_of_all(twice: Run) -> None:
    """Before, one line said that it stays as it is, and the next that it comes back today."""
    out = twice(["what-if", "--returned", PACKET, "--mail", "all=Express", *OVERDUE])[1]

    assert out.startswith(
        "Sandbur Flats Aerial LLC, as of Mon 15 Mar 2027: what if\n"
        f"  - every packet still to be sent goes by express, and {PACKET}\n"
        "    when it is sent again\n"
        f"  - {PACKET} comes back today\n"
        "Nothing of it is kept.\n"
    )


def test_service_of_a_filed_packet_in_a_log_file_is_refused(loaded: Run, isolated: Path) -> None:
    """The command refuses it too, above; nothing of the file is kept."""
    (isolated / "log.yaml").write_text(
        "log:\n"
        "  - {kind: paid, paper: faa.exemption, holder: operation, on: 2026-09-13}\n"
        "  - kind: mailed\n"
        "    paper: faa.exemption\n"
        "    holder: operation\n"
        "    on: 2026-09-14\n"
        "    service: express\n",
        encoding="utf-8",
    )

    assert loaded(["log", "import", "log.yaml", "--today", "2027-01-11"]) == (
        3,
        "",
        (
            "log.yaml:3:5: L47 faa.exemption is filed, not mailed; no mail service carries it\n"
            "  hint: leave `service` out\n"
            "1 problem; nothing was changed\n"
        ),
    )
    assert loaded(["export", "--log"])[1].count("kind:") == 0
