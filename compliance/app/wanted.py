"""Blanks of a template as the matcher of fields wants them."""

from compliance.forms.model import FormTemplate
from compliance.scan.acroform_match import BlankWanted


def wanted_blanks(template: FormTemplate) -> tuple[BlankWanted, ...]:
    """Give a template's blanks as the matcher of names wants them."""
    return tuple(
        BlankWanted(
            id=blank.id, label=blank.label, kind=str(blank.kind), must=blank.must, note=blank.note
        )
        for blank in template.blanks
    )
