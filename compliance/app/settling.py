"""What new pictures show, held against what earlier pictures of the same sheet showed."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from compliance.app.picture_answers import PictureAnswer
from compliance.app.sightings import Beside
from compliance.engine.choices import find_boxes
from compliance.facts.answers import Answer, Source, Status

_IN_PART = (
    "stands on other pages too, and an earlier picture did not show it plainly filled in; look at "
    "all its pages in one command"
)


def settle_with_earlier(
    old: tuple[Answer, ...], new: Sequence[PictureAnswer], names: Mapping[str, str]
) -> tuple[tuple[Answer, ...], tuple[Beside, ...]]:
    """Hold what new pictures show against what earlier pictures of the same sheet showed.

    Shape: the new answers to be taken, and what is said of blanks that the earlier pictures show
    otherwise. *names* are the names of earlier pictures by their hashes. Where a new picture does
    not show a place, the earlier one still counts; so it does where only it tells which boxes of a
    choice are ticked and the new one shows none of them empty. A place that was empty and has ink
    now was filled in since. Whatever else was filled in and is not plainly so now is left to the
    person.
    """
    before = {(one.document, one.sheet, one.blank): one for one in old}
    taken: list[Answer] = []
    beside: list[Beside] = []
    for shown in new:
        answer = shown.answer
        earlier = before.get((answer.document, answer.sheet, answer.blank))
        was_filled = earlier is not None and earlier.status is Status.FILLED
        if earlier is None or not was_filled:
            if earlier and _stays_open(earlier, shown):
                beside.append(Beside(blank=answer.blank, sentence=_IN_PART, is_open=True))
            else:
                taken.append(answer)
            continue
        first = names.get(earlier.seen_in, "an earlier picture")
        if earlier.source is Source.PHOTO and shown.is_empty:
            taken.append(replace(answer, status=Status.UNCLEAR, picture_empty=True))
            why = f"there is ink here in {first} and none in {shown.picture}"
            beside.append(_ask(answer, why))
        elif not shown.is_empty and not answer.says and _is_other_box(earlier, shown):
            taken.append(replace(answer, status=Status.UNCLEAR))
            beside.append(_ask(answer, _say_box(earlier, first, shown.picture)))
        elif earlier.source is not Source.PHOTO:
            taken.append(answer)
        elif answer.status is Status.UNCLEAR and _is_out_of_sight(earlier, shown):
            beside.append(_count(answer, first, shown.picture))
        elif not (answer.status is Status.FILLED and earlier.says and not answer.says):
            taken.append(answer)
    return tuple(taken), tuple(beside)


def _stays_open(earlier: Answer, shown: PictureAnswer) -> bool:
    """Tell whether a picture was not plain, and the new one may not show the place that was not."""
    is_filled = shown.answer.status is Status.FILLED
    return earlier.source is Source.PHOTO and is_filled and shown.is_part


def _list_said(earlier: Answer, shown: PictureAnswer) -> set[str]:
    return set(find_boxes(shown.choice, earlier.says)) if shown.choice and earlier.says else set()


def _is_other_box(earlier: Answer, shown: PictureAnswer) -> bool:
    """Tell whether a box said to be ticked is plainly empty now, or another one plainly ticked."""
    said = _list_said(earlier, shown)
    return bool(said) and (bool(said & shown.unmarked) or not shown.marked <= said)


def _is_out_of_sight(earlier: Answer, shown: PictureAnswer) -> bool:
    """Tell whether what was filled in is where the new picture does not show the paper."""
    if shown.choice is None:
        return shown.is_hidden
    said = _list_said(earlier, shown)
    return shown.is_hidden and bool(said) and said <= shown.hidden | shown.marked


def _say_box(earlier: Answer, first: str, picture: str) -> str:
    before = f"is ticked in {first}" if earlier.source is Source.PHOTO else "was said to be ticked"
    return f"“{earlier.says}” {before}, but not plainly that alone in {picture}"


def _ask(answer: Answer, why: str) -> Beside:
    sentence = f"the pictures differ: {why}; look at the paper"
    return Beside(blank=answer.blank, sentence=sentence, is_open=True)


def _count(answer: Answer, first: str, picture: str) -> Beside:
    sentence = f"not to be seen in {picture}; what {first} shows there counts"
    return Beside(blank=answer.blank, sentence=sentence, is_open=False)
