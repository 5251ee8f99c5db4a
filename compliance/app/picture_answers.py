"""What the pictures of one look say about the blanks of a sheet, as answers and how they came."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compliance.app.field_answers import STATUS
from compliance.app.known_forms import KnownForm, KnownPlace
from compliance.app.sightings import Sighting
from compliance.app.ticked import has_both_marked, list_names, read_marks
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import Blank, BlankKind, FormTemplate
from compliance.scan.model import PageFinding, RegionFinding, Seen
from compliance.scan.ways import find_decisive

Files = tuple[tuple[str, bytes], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureAnswer:
    """The answer about a blank and what it rests on.

    ``picture`` decided. ``is_empty``: nothing is there, although a lone check box says only that it
    is not known. ``is_hidden``: what is not seen to be filled in is covered, dark, or outside the
    picture. ``is_part``: it has further places of the same way, which no picture of this look
    shows. ``choice`` is the blank when it is a choice of boxes; ``marked`` and ``unmarked`` are
    those that plainly are so, ``hidden`` those that cannot be seen.
    """

    answer: Answer
    picture: str
    is_empty: bool = False
    is_hidden: bool = False
    is_part: bool = False
    choice: Blank | None = None
    marked: frozenset[str] = frozenset()
    unmarked: frozenset[str] = frozenset()
    hidden: frozenset[str] = frozenset()


def answer_blank(
    template: FormTemplate,
    blank: str,
    found: Sequence[Sighting],
    files: Files,
    sheet: tuple[str, int],
    places_of_form: Sequence[KnownPlace] = (),
) -> PictureAnswer:
    """Give the answer about a blank from all its places seen, and the picture that decided it.

    *places_of_form* are those of the whole form, on whatever pages.
    """
    finding = find_decisive(one.finding for one in found)
    picture = next(one.picture for one in found if one.finding is finding)
    places = [one.finding for one in found]
    looked_at = {one.region.id for one in places}
    known = template.find_blank(blank)
    is_unclear = has_both_marked(places) or _is_lone_empty(finding)
    choice = known if known is not None and known.one_of else None
    # Of a choice the other boxes are empty, as they should be; their names tell more.
    in_doubt = (Seen.CANNOT_TELL,) if choice else (Seen.CANNOT_TELL, Seen.MISSING)
    unseen = [one for one in places if one.seen in in_doubt]
    return PictureAnswer(
        answer=Answer(
            document=sheet[0],
            blank=blank,
            status=Status.UNCLEAR if is_unclear else STATUS[finding.seen],
            says=read_marks(places, known),
            sheet=sheet[1],
            source=Source.PHOTO,
            seen_in=_hash_of(picture, files),
        ),
        picture=picture,
        is_empty=finding.seen is Seen.MISSING,
        is_hidden=finding.seen is Seen.CANNOT_TELL and all(one.is_hidden for one in unseen),
        is_part=any(
            one.blank == blank
            and one.region.way == finding.region.way
            and one.region.id not in looked_at
            for one in places_of_form
        ),
        choice=choice,
        marked=list_names([one for one in places if one.seen is Seen.PRESENT], choice),
        unmarked=list_names([one for one in places if one.seen is Seen.MISSING], choice),
        hidden=list_names([one for one in places if one.is_hidden], choice),
    )


def _is_lone_empty(finding: RegionFinding) -> bool:
    """Tell whether it is an empty check box alone, which proves nothing: another may be ticked."""
    is_lone = finding.region.kind == BlankKind.CHECK and not finding.region.part_of
    return is_lone and finding.seen is Seen.MISSING


def list_printed(
    form: KnownForm, pages: tuple[PageFinding, ...], files: Files, sheet: tuple[str, int]
) -> Iterator[PictureAnswer]:
    """Give what a paper of our own says in print on the pages that its codes make sure of."""
    shown = {page.page: page.picture for page in pages if page.how == "codes"}
    for printed in form.printed:
        if printed.page in shown:
            picture = shown[printed.page]
            answer = Answer(
                document=sheet[0],
                blank=printed.blank,
                status=Status.FILLED,
                says=printed.says,
                sheet=sheet[1],
                source=Source.PHOTO,
                seen_in=_hash_of(picture, files),
            )
            yield PictureAnswer(answer=answer, picture=picture)


def _hash_of(picture: str, files: Files) -> str:
    """Give the hash of the file that a picture is of."""
    found = (data for path, data in files if is_of(picture, path))
    return next((hashlib.sha256(data).hexdigest() for data in found), "")


def is_of(picture: str, path: str) -> bool:
    """Tell whether a picture is a file or one of its pages, by the names pages are given."""
    return picture == path or picture.startswith((f"{path}, page ", f"{path} page "))
