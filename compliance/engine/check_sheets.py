"""A packet's documents as sheets of paper with what is known of their blanks."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from compliance.engine.check_model import CheckContext, CheckFinding, Place, Severity
from compliance.engine.declaration import DECLARATION, OFFICE_SAID, goes_along
from compliance.facts.answers import ENCLOSED, Answer, Status
from compliance.facts.basis import WORDS_OF_CONFIDENCE, Confidence
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate
from compliance.rules.model import DocumentRow, NotaryAct

_PLACES = {
    FilledBy.OWNER: Place.HOME,
    FilledBy.PILOT: Place.HOME,
    FilledBy.SELLER: Place.SELLER,
    FilledBy.NOTARY: Place.NOTARY,
    FilledBy.INSURER: Place.INSURER,
    FilledBy.MAKER: Place.MAKER,
    FilledBy.REGISTRY: Place.OFFICE,
    FilledBy.OFFICE: Place.OFFICE,
}
REGISTRY_HALF = "official-signature"
"""The blank by which a paper with two halves is known, of which only one is filled in."""
SIGNING_DAYS = ("signed-on", "owner-signed-on")
_AGAIN = "It is notarized already: fill in a fresh one and have the notary do it again."


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of a document; ``count`` is how many of it the packet holds."""

    row: DocumentRow
    template: FormTemplate
    number: int
    count: int
    answers: Mapping[str, Answer]

    @property
    def document(self) -> str:
        """Give the document's short name."""
        return name_of(self.row)

    @property
    def title(self) -> str:
        """Give the title for a person, with the sheet's number when there are several."""
        return self.row.title if self.count == 1 else f"{self.row.title} (sheet {self.number})"

    @property
    def in_play(self) -> bool:
        """Tell whether its blanks count: it is in the envelope, or something on it was answered."""
        enclosed = self.answers.get(ENCLOSED)
        if enclosed is not None and enclosed.status in {Status.EMPTY, Status.STRUCK}:
            return False
        return bool(self.answers)

    @property
    def is_certified(self) -> bool:
        """Tell whether a notary has signed it."""
        blanks = self.of_kind(BlankKind.NOTARY_SIGNATURE)
        return any(self.is_filled(blank.id) for blank in blanks)

    @property
    def block(self) -> tuple[Blank, ...]:
        """Give the blanks of the notarial certificate."""
        return tuple(blank for blank in self.template.blanks if blank.filled_by is FilledBy.NOTARY)

    @property
    def signing_day(self) -> date | None:
        """Give the day the signer wrote beside the signature."""
        days = (self.on(name) for name in SIGNING_DAYS)
        return next((day for day in days if day is not None), None)

    def of_kind(self, *kinds: BlankKind) -> tuple[Blank, ...]:
        """Give the blanks of some kinds."""
        return tuple(blank for blank in self.template.blanks if blank.kind in kinds)

    def status(self, blank: str) -> Status | None:
        """Give how a blank stands, None when nobody has said."""
        answer = self.answers.get(blank)
        return None if answer is None else answer.status

    def is_filled(self, blank: str) -> bool:
        """Tell whether a blank is filled in."""
        return self.status(blank) is Status.FILLED

    def says(self, blank: str) -> str:
        """Give the text that stands in a filled blank, outer blanks removed."""
        answer = self.answers.get(blank)
        return answer.says.strip() if answer and answer.status is Status.FILLED else ""

    def on(self, blank: str) -> date | None:
        """Give the date that stands in a filled blank."""
        answer = self.answers.get(blank)
        return answer.on if answer and answer.status is Status.FILLED else None

    def place_of(self, blank: Blank) -> Place:
        """Tell where a blank is mended; what is sworn to is mended in front of the notary."""
        if "bank" in self.template.id and blank.filled_by is FilledBy.OFFICE:
            return Place.BANK
        place = _PLACES[blank.filled_by]
        if self.row.notary is NotaryAct.NONE or place is not Place.HOME:
            return place
        signed_there = self.row.notary is NotaryAct.JURAT and (
            blank.kind is BlankKind.SIGNATURE or blank.id in SIGNING_DAYS
        )
        return Place.NOTARY if signed_there or self.is_certified else place

    def stop(self, blank: Blank, sentence: str, todo: str, *, citation: str = "") -> CheckFinding:
        """Make a finding that would bring the packet back."""
        if self.is_certified and blank.filled_by is not FilledBy.NOTARY:
            todo = f"{todo} {_AGAIN}"
        return self._find(Severity.STOP, blank, sentence, todo, citation)

    def open(self, blank: Blank, sentence: str, todo: str, *, citation: str = "") -> CheckFinding:
        """Make a finding that waits for an answer."""
        return self._find(Severity.OPEN, blank, sentence, todo, citation)

    def note(self, blank: Blank, sentence: str, todo: str, *, citation: str = "") -> CheckFinding:
        """Make a finding worth a look."""
        return self._find(Severity.NOTE, blank, sentence, todo, citation)

    def _find(
        self, severity: Severity, blank: Blank, sentence: str, todo: str, citation: str
    ) -> CheckFinding:
        return CheckFinding(
            severity=severity,
            document=self.document,
            sheet=self.number,
            blank=blank.id,
            sentence=f"{self.title}: {sentence}",
            todo=todo,
            where=self.place_of(blank),
            citation=citation,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Enclosure:
    """One document row with its sheets; none when its form is not among the templates.

    ``needed`` counts the sheets that must go into the envelope; 0 for a paper you keep.
    """

    row: DocumentRow
    template: FormTemplate | None
    needed: int
    sheets: tuple[Sheet, ...]

    @property
    def is_kept(self) -> bool:
        """Tell whether it stays with you."""
        return self.needed == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A context with its documents laid out; what every cross-check is given."""

    context: CheckContext
    enclosures: tuple[Enclosure, ...]

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """Give the sheets that count."""
        every = (sheet for one in self.enclosures for sheet in one.sheets)
        return tuple(sheet for sheet in every if sheet.in_play)

    def find_enclosure(self, name: str) -> Enclosure | None:
        """Give the document of a short name."""
        return next((one for one in self.enclosures if name_of(one.row) == name), None)

    def is_declared(self, sheet: Sheet) -> bool:
        """Tell whether the unsworn declaration stands in for the notary of a sworn sheet.

        It does not before somebody at the office said so, nor once a part of the notary's
        certificate is filled in.
        """
        one = self.find_enclosure(DECLARATION)
        goes = one is not None and not one.is_kept
        agreed = one is not None and any(page.is_filled(OFFICE_SAID.id) for page in one.sheets)
        is_sworn = sheet.row.notary is NotaryAct.JURAT
        in_block = any(sheet.is_filled(part.id) for part in sheet.block)
        return goes and agreed and is_sworn and not in_block


@dataclass(frozen=True, slots=True, kw_only=True)
class Crosscheck:
    """One thing that is compared before mailing, with its source and a worked example.

    ``rank`` 1 is the likeliest reason of a return. No office publishes how often it returns what,
    so the order is our own: what came back once, then the grounds the rule names, then the rest.
    """

    id: str
    title: str
    citation: str
    confidence: Confidence
    example: str
    run: Callable[[Case], Iterator[CheckFinding]]
    rank: int = 0

    @property
    def words(self) -> str:
        """Give the confidence in words."""
        return WORDS_OF_CONFIDENCE[self.confidence]

    def find(self, case: Case) -> tuple[CheckFinding, ...]:
        """Run it; every finding carries its id, its rank and a citation."""
        return tuple(
            replace(
                found,
                check=self.id,
                rank=self.rank,
                citation=found.citation or self.citation,
            )
            for found in self.run(case)
        )


def name_of(row: DocumentRow) -> str:
    """Give a document's short name: the last part of its id."""
    return row.id.rpartition(".")[2]


def is_bill_of_sale(template: FormTemplate) -> bool:
    """Tell whether a form passes ownership from a seller to a buyer."""
    return None not in (template.find_blank("seller-name"), template.find_blank("buyer-name"))


def open_case(context: CheckContext) -> Case:
    """Lay out the documents of a packet, each with as many sheets as are needed or answered."""
    by_document: dict[str, dict[int, dict[str, Answer]]] = {}
    for answer in context.answers:
        by_document.setdefault(answer.document, {}).setdefault(answer.sheet, {})[answer.blank] = (
            answer
        )
    return Case(
        context=context,
        enclosures=tuple(
            _lay_out(context, row, by_document.get(name_of(row), {}))
            for row in context.paper.packet.documents
        ),
    )


def _lay_out(
    context: CheckContext, row: DocumentRow, answered: Mapping[int, Mapping[str, Answer]]
) -> Enclosure:
    template = context.templates.get(row.template)
    needed = row.originals + row.copies
    if template is not None and needed and is_bill_of_sale(template):
        needed = max(needed, len(context.envelope.owners_chain) - 1)
    if goes_along(row, answered):
        needed = 1
    count = max(needed, max(answered, default=0))
    sheets: Iterator[Sheet] = iter(())
    if template is not None:
        sheets = (
            Sheet(
                row=row,
                template=template,
                number=number,
                count=count,
                answers=answered.get(number, {}),
            )
            for number in range(1, count + 1)
        )
    return Enclosure(row=row, template=template, needed=needed, sheets=tuple(sheets))


def find_envelope(
    severity: Severity, name: str, sentence: str, todo: str, where: Place = Place.HOME
) -> CheckFinding:
    """Make a finding about the envelope or the signing, ``name`` being an envelope answer's."""
    return CheckFinding(severity=severity, blank=name, sentence=sentence, todo=todo, where=where)
