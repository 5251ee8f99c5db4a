"""What our own papers would say today, without laying them out."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from compliance.engine.plan_model import PaperPlan, Plan
from compliance.forms.model import FormTemplate
from compliance.outputs.own_documents import compute_own_documents
from compliance.outputs.own_model import OwnDocument

VISIT = "notary-visit"
"""A paper of our own that is no document of a packet, by the name in its file."""


def compute_own_facts(
    plan: Plan, paper: PaperPlan, templates: Mapping[str, FormTemplate]
) -> dict[str, str]:
    """Compute what our own papers of a packet would say today: name of the document -> mark."""
    return {
        document.name: find_facts(document)
        for document in compute_own_documents(plan, paper, templates)
    }


def find_facts(document: OwnDocument) -> str:
    """Give a mark of what a paper says; the day it was printed does not count.

    Shape: the mark of all it says, a period, and the mark of its edition: of what it asks for and
    of its fixed words, whoever it is about.
    """
    said = repr(replace(document, as_of=date.min))
    return f"{_hash(said)}.{_hash(repr(_list_asked(document)))}"


def says_same(facts: str, today: str) -> bool:
    """Tell whether two marks of :func:`find_facts` are of papers that say the same."""
    return facts.partition(".")[0] == today.partition(".")[0]


def is_old_edition(facts: str, today: str) -> bool:
    """Tell whether two marks of :func:`find_facts` are of two editions of a paper.

    A mark without an edition, as it was kept once, tells nothing of it.
    """
    old, new = facts.partition(".")[2], today.partition(".")[2]
    return bool(old and new) and old != new


def _list_asked(document: OwnDocument) -> tuple[object, ...]:
    certificate = document.certificate
    return (
        document.title,
        document.opening,
        document.closing,
        tuple(
            (one.blank, str(one.kind), tuple(choice.text for choice in one.choices))
            for one in document.fields
        ),
        tuple((one.blank, str(one.kind)) for block in document.signatures for one in block),
        certificate.act if certificate is not None else "",
    )


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]
