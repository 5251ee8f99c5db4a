"""Forms and their blanks as text."""

from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.forms.model import BlankLimit, FormTemplate, Supplier
from compliance.outputs.words import CAUTION, wrap

_SUPPLIERS = {
    Supplier.AGENCY: "the agency's own form",
    Supplier.OURS: "written by mailby from your facts",
    Supplier.OTHER: "somebody else's paper",
}


def render_forms(templates: tuple[FormTemplate, ...], word: str) -> str:
    """Render ids and titles of the forms whose id or title holds a word."""
    kept = [one for one in templates if word.lower() in f"{one.id} {one.title}".lower()]
    if not kept:
        return f"no form holds {word!r}\n"
    lines = [wrap(f"{one.id}  {one.title}", indent=2, hang=6) for one in kept]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def render_form(template: FormTemplate) -> str:
    """Render one form: what it is, where to get it, every blank."""
    number = "" if template.form == "none" else f" ({template.form})"
    lines = [
        wrap(f"{template.id}: {template.title}{number}"),
        wrap(f"it is         {_SUPPLIERS[template.supplied_by]}", indent=2, hang=16),
        wrap(f"get it        {template.get_it}", indent=2, hang=16),
        wrap(f"what for      {template.summary}", indent=2, hang=16),
    ]
    if template.goes_stale_days is not None:
        lines.append(f"  stale after   {template.goes_stale_days} days from signing")
    lines.append("  BLANKS")
    for blank in template.blanks:
        must = "" if blank.must else ", if it applies"
        text = f"{blank.id}: {blank.label} ({blank.kind}, by {blank.filled_by}{must})"
        lines.append(wrap(text, indent=4, hang=8))
        if blank.limit is not None:
            lines.append(wrap(_say_limit(blank.limit), indent=8, hang=10))
    basis = template.basis
    words = WORDS_OF_CONFIDENCE[basis.confidence]
    lines.append(wrap(f"source        {basis.citation}; {words}", indent=2, hang=16))
    if basis.note:
        lines.append(wrap(f"note          {basis.note}", indent=2, hang=16))
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def _say_limit(limit: BlankLimit) -> str:
    """Say what an office does not take in a blank, and by which source."""
    rules = []
    if limit.street_only:
        rules.append("not a P.O. box")
    if limit.at_most_months is not None:
        rules.append(f"at most {limit.at_most_months} months before the day of mailing")
    basis = limit.basis
    words = WORDS_OF_CONFIDENCE[basis.confidence]
    note = f"; {basis.note}" if basis.note else ""
    return f"{', '.join(rules)} ({basis.citation}; {words}{note})"


def render_learned(
    template: FormTemplate, places: tuple[tuple[str, str, str], ...], *, has_codes: bool
) -> str:
    """Render what was found on a blank: each place with the blank it is, and what was not found.

    ``places`` are (id of the place, words beside it, id of the template's blank or nothing).
    """
    lines = [wrap(f"{template.title}: {len(places)} places found")]
    lines.extend(
        wrap(f"{name} ({label or 'no words'}): {blank or 'no blank of the form'}", indent=2, hang=4)
        for name, label, blank in places
    )
    tied = {blank for _, _, blank in places}
    missing = [one.id for one in template.blanks if one.must and one.id not in tied]
    if missing:
        lines.append(wrap(f"! not found on the page: {', '.join(missing)}", hang=2))
    codes = "with a code in each free corner" if has_codes else "WITHOUT codes, for want of room"
    how = f"Its blank is kept {codes}. Print that one: mailby forms print {template.id} -o FILE"
    lines.append(wrap(how))
    lines.append(
        wrap("To mend it: --write-places FILE, edit the file, then learn again with --places FILE.")
    )
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
