"""Form templates by name."""

from compliance.app.tables import load_templates
from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.forms.model import FormTemplate


def find_template(name: str) -> FormTemplate:
    """Find a form template by its id.

    Raises:
        NotFoundError: No form has that id.
    """
    templates = load_templates()
    if name not in templates:
        hint = suggest(name, templates) or "mailby forms list names them all"
        raise NotFoundError(f"no form is called {name!r}", hint=hint)
    return templates[name]
