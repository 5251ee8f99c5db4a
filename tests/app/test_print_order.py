"""Whatever the order of prints, photos, words and returns: ink counts for the newest print alone.

Common practice, no source: a photo shows the print that was in hand when it was first looked at.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import leave_out_earlier, mark_sheet, refuse_two_papers
from compliance.app.later_checks import Kept, leave_later
from compliance.app.mailed_pictures import list_mailed
from compliance.app.retold import leave_older_ink
from compliance.app.seen import SeenPicture
from compliance.app.sightings import keep_counting, leave_printed
from compliance.base.problems import RefusedError
from compliance.engine.plan_model import Plan
from compliance.engine.questions import compute_asked
from compliance.facts.answers import EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import PacketAnswers
from compliance.facts.answers_write import render_answers
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.forms.model import FormTemplate
from compliance.store.checks import StoredCheck
from tests.app.test_new_print import (
    DAY,
    INK,
    PACKET,
    SHEET,
    TYPED,
    give_text,
    put,
    seen,
    take_photo,
    tell,
)
from tests.kit_checking import make_checking

TEXTS = {"A": "1 Invented Road", "B": "2 Invented Road", "C": "3 Invented Road"}
EVENTS = st.sampled_from(
    [
        "pdf A",
        "pdf B",
        "photo 1",
        "photo 2",
        "photo 3",
        "word",
        "say B",
        "say C",
        "return",
        "undo",
        "grant",
    ]
)


@pytest.fixture
def form(templates: Mapping[str, FormTemplate]) -> FormTemplate:
    """The form of the application."""
    return templates["sd-commercial-application"]


@pytest.fixture
def checking(demo_plan: Plan, templates: Mapping[str, FormTemplate]) -> Checking:
    """A packet about which nothing was said."""
    return make_checking(demo_plan, templates, PACKET, DAY)


def say_text(checking: Checking, text: str) -> Checking:
    """Say what stands in a blank, and nothing of the ink."""
    told = put(checking, (tell("home-address", says=text),))
    return leave_older_ink(checking, told)[0]


def send_back(checking: Checking, *blanks: str) -> Checking:
    """Begin the next mailing, with what is kept of this one; *blanks* were at fault."""
    entry = LogEntry(
        number=1,
        kind=EventKind.RETURNED,
        paper="p",
        holder=Holder(kind=HolderKind.PILOT),
        happened_on=DAY,
        blanks=blanks,
    )
    returns = (*[replace(entry, blanks=())] * (checking.turn - 1), entry)
    return begin_anew(checking, returns)


def begin_anew(checking: Checking, returns: tuple[LogEntry, ...]) -> Checking:
    """Begin the next mailing; without returns it is a renewal, after a grant."""
    bare = replace(checking.context, answers=(), envelope=EnvelopeAnswers())
    turn = checking.turn + 1
    pictures = tuple(list_mailed((store(checking),), returns, (), turn=turn))
    return replace(checking, turn=turn, context=bare, files=(), pictures=pictures)


def store(checking: Checking) -> StoredCheck:
    """Keep a check as the database does."""
    context = checking.context
    said = PacketAnswers(packet=checking.packet, answers=context.answers, envelope=context.envelope)
    return StoredCheck(
        packet=checking.packet,
        turn=checking.turn,
        answers=render_answers(said, compute_asked(context.paper, context.templates)),
        files=json.dumps([asdict(one) for one in checking.files]),
        ready=True,
        fingerprint="",
        checked_on=DAY,
        pictures=json.dumps([asdict(one) for one in checking.pictures]),
    )


def withdraw_return(before: Checking, later: Checking) -> Checking:
    """Take up the mailing before a return again; *later* was checked after it."""
    context = before.context
    said = PacketAnswers(packet=before.packet, answers=context.answers, envelope=context.envelope)
    kept = Kept(said=said, files=before.files, pictures=before.pictures)
    left = leave_later(kept, (store(later),), context.paper, context.templates)
    context = replace(context, answers=left.said.answers)
    return replace(before, context=context, files=left.files, pictures=left.pictures)


def is_signed(checking: Checking) -> bool:
    """Tell whether the signature counts as there."""
    return any(
        one.blank == "signature" and one.status is Status.FILLED for one in checking.context.answers
    )


def look(checking: Checking, name: str) -> tuple[Checking, bool]:
    """Give a photo of the signature; tell whether it was looked at."""
    taken, _ = leave_out_earlier(checking, ((name, name.encode()),), SHEET)
    return (take_photo(checking, name, *INK), True) if taken else (checking, False)


@dataclass
class World:
    """What is true: the print in hand, the print each photo shows, and what the ink rests on.

    ``past`` are the mailings before a return: the print in hand, whether inked, and its check.
    """

    hand: str = ""
    shows: dict[str, str] = field(default_factory=dict)
    inked: bool = False
    past: list[tuple[str, bool, Checking]] = field(default_factory=list)

    def name_it(self, name: str) -> None:
        """Know a paper that was only told of by the file that prints it."""
        told = f"said {name}"
        self.hand = name
        self.shows = {key: name if one == told else one for key, one in self.shows.items()}
        self.past = [
            (name if hand == told else hand, inked, check) for hand, inked, check in self.past
        ]


def happen(world: World, checking: Checking, event: str, form: FormTemplate) -> Checking:
    """Let one thing happen, in truth and in the check."""
    what, _, name = event.partition(" ")
    if what == "photo":
        after, taken = look(checking, name)
        shown = world.shows.setdefault(name, world.hand)
        if taken:
            world.inked = world.inked or shown == world.hand
            assert shown == world.hand, "a photo of another print was taken"
        return after
    if what == "word":
        world.inked = True
        return put(checking, (tell("signature"),))
    if what in {"return", "undo", "grant"}:
        return move_on(world, checking, what)
    before = {one.blank: one for one in checking.context.answers}.get("home-address")
    if what == "say":
        if before is not None and before.says != TEXTS[name]:
            world.hand, world.inked = f"said {name}", False
        return say_text(checking, TEXTS[name])
    if before is not None and before.says != TEXTS[name]:
        world.hand, world.inked = name, False
    elif world.hand == f"said {name}":
        world.name_it(name)
    elif world.hand != name and not world.hand.startswith("said"):
        # The first PDF: a person's word stays, a photo older than it does not.
        kept = [one for one in checking.context.answers if one.blank == "signature"]
        world.inked = bool(kept) and kept[0].source is Source.PERSON
        world.hand = name
    said = tuple(
        tell(blank, Source.PDF, says=TEXTS[name] if blank == "home-address" else "same")
        for blank in TYPED
    )
    return give_text(checking, form, *said, name=f"{name}.pdf")[0]


def move_on(world: World, checking: Checking, what: str) -> Checking:
    """Let a mailing come back, a return be withdrawn, or the paper be granted."""
    if what == "undo":
        if not world.past:
            return checking
        hand, inked, before = world.past.pop()
        if world.hand.startswith("back") or world.hand == hand:
            world.hand, world.inked = hand, inked
        else:
            world.inked = False
        return withdraw_return(before, checking)
    if what == "return":
        world.past.append((world.hand, world.inked, checking))
    else:
        world.past, world.shows = [], dict.fromkeys(world.shows, "granted")
    world.hand, world.inked = f"back {checking.turn}", False
    return send_back(checking) if what == "return" else begin_anew(checking, ())


def test_a_signature_counts_only_for_the_print_in_hand(
    checking: Checking, form: FormTemplate
) -> None:
    """Nothing that was said or shown of another print makes the papers ready."""

    @settings(max_examples=400, deadline=None)
    @example(events=["pdf A", "say B", "photo 1", "pdf B", "pdf A", "photo 1"])
    @example(events=["photo 1", "return", "return", "pdf A", "undo", "undo"])
    @given(events=st.lists(EVENTS, max_size=9))
    def hold(events: list[str]) -> None:
        world, state = World(), checking
        for event in events:
            state = happen(world, state, event, form)
            assert not is_signed(state) or world.inked, (event, world)

    hold()


def test_a_photo_of_the_mailing_before_does_not_vouch_for_a_new_print(
    checking: Checking, form: FormTemplate
) -> None:
    """The same print after a return takes its photo up again, unless its own blank was at fault."""
    texts = tuple(tell(blank, Source.PDF, says="as printed") for blank in TYPED)
    first, _ = look(give_text(checking, form, *texts)[0], "signed.jpg")
    assert is_signed(first)

    back = send_back(first)
    other = give_text(back, form, *(replace(one, says="new") for one in texts), name="new.pdf")[0]
    same = give_text(back, form, *texts)[0]
    at_fault = give_text(send_back(first, "application/business"), form, *texts)[0]

    assert [look(one, "signed.jpg")[1] for one in (back, other, same, at_fault)] == [
        False, False, True, False,
    ]  # fmt: skip
    assert leave_out_earlier(back, (("signed.jpg", b"signed.jpg"),), SHEET)[1][0] == (
        "signed.jpg: this picture is older than the last return, seen on Mon 11 Jan 2027, so it"
        " says nothing of the paper as it is now; take a picture of the paper as it is now, or"
        " answer the questions"
    )


def test_a_known_pdf_after_another_word_asks_the_ink(
    checking: Checking, form: FormTemplate
) -> None:
    """The person spoke of a paper with another text; so the photo of either counts no more."""
    texts = tuple(tell(blank, Source.PDF, says="as printed") for blank in TYPED)
    first, _ = look(give_text(checking, form, *texts)[0], "signed.jpg")
    other = put(first, (tell("business", says="Other Aerial LLC"), *map(tell, INK)))

    after, lines = give_text(other, form, *texts)

    assert not is_signed(after)
    assert len(lines) == 1
    assert lines[0] == (
        f"`{form.title}` has `as printed` under `Name of the business you work for`, you said"
        " `Other Aerial LLC`: another print than the one you spoke of. What was said of"
        " `Signature`, `Date of signing` is asked again."
    )
    assert look(after, "signed.jpg")[1] is False
    assert give_text(after, form, *texts)[1] == ()


def test_a_pdf_with_one_other_text_is_no_further_page(
    checking: Checking, form: FormTemplate
) -> None:
    """Few shared blanks make another page of it, but not where the two contradict each other."""
    texts = tuple(tell(blank, Source.PDF, says="as printed") for blank in TYPED)
    signed = put(give_text(checking, form, *texts)[0], tuple(map(tell, INK)))
    alone = tell("business", Source.PDF, says="Other Aerial LLC")

    same = give_text(signed, form, replace(alone, says="as printed"), name="page.pdf")[0]
    other = give_text(signed, form, alone, name="page.pdf")[0]

    assert (is_signed(same), is_signed(other)) == (True, False)


def test_a_text_told_anew_asks_the_ink_unless_told_with_it(
    checking: Checking, form: FormTemplate
) -> None:
    """Such as a new serial number in the facts and in the answers, on the papers of the old one."""
    signed = put(checking, (tell("business", says="Old LLC"), *map(tell, INK)))
    told = put(signed, (tell("business", says="New LLC"),))

    after, lines = leave_older_ink(signed, told)

    assert not is_signed(after)
    assert len(lines) == 1
    assert lines[0] == (
        f"`{form.title}`: you say `New LLC` under `Name of the business you work for`, before it"
        " was `Old LLC`: another print. What was said or seen of `Signature`, `Date of signing` is"
        " asked again."
    )
    photo = put(checking, (tell("business", Source.PHOTO, says="Old LLC"), *map(tell, INK)))
    assert is_signed(leave_older_ink(photo, put(photo, (tell("business", says="New LLC"),)))[0])


def test_a_photo_leaves_the_texts_of_the_pdf(form: FormTemplate) -> None:
    """It says that something stands there; ink, and what it shows empty, it alone tells of."""
    old = (tell("business", Source.PDF, says="A LLC"), tell("signature", Source.PDF, says="A"))
    new = tuple(tell(one.blank, Source.PHOTO) for one in old)
    empty = (tell("business", Source.PHOTO, Status.EMPTY),)

    assert leave_printed(old, new, form) == ((new[1],), frozenset({"business"}))
    assert leave_printed(old, empty, form) == (empty, frozenset())


def test_a_text_that_stays_rests_on_the_pdf_still() -> None:
    """So a change of that PDF takes the text back."""
    pdf = seen("a.pdf", "1", "pdf", ("business", "signature"), ("m",))
    photo = seen("p.jpg", "2", "photo", ("business", "signature"), ("m",))

    assert [one.path for one in keep_counting((pdf,), (photo,))] == ["p.jpg"]
    kept = keep_counting((pdf,), (photo,), frozenset({"business"}))
    assert [(one.path, one.blanks) for one in kept] == [
        ("a.pdf", ("business",)), ("p.jpg", ("business", "signature")),
    ]  # fmt: skip


def test_one_picture_is_not_two_papers(checking: Checking, form: FormTemplate) -> None:
    """A scan of several pages may be; the same paper given again is one paper."""
    shown, _ = look(give_text(checking, form, tell("business", Source.PDF))[0], "p.jpg")
    file = ("p.jpg", b"p.jpg")

    refuse_two_papers(shown, file, SHEET, pages=1)
    refuse_two_papers(shown, file, ("fee-check", 1), pages=2)
    with pytest.raises(RefusedError) as caught:
        refuse_two_papers(shown, file, ("fee-check", 1), pages=1)
    assert caught.value.message == (
        "p.jpg: this picture was given for application already; one picture cannot be two papers"
    )
    assert caught.value.hint == (
        "take a picture of each paper, or answer the questions about this one"
    )


def test_mark_sheet_leaves_the_pictures_of_other_sheets(checking: Checking) -> None:
    """Only the sheet whose text changed is another paper."""
    one = SeenPicture(sha256="1", document="a", sheet=1, seen_on="2027-01-11", prints=("m",))
    both = replace(checking, pictures=(one, replace(one, sheet=2)))

    marked = mark_sheet(both, ("a", 1)).pictures

    assert [(p.is_earlier, p.prints) for p in marked] == [(True, ()), (False, ("m",))]
