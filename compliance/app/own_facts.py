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
    """Give a mark of what a paper says; the day it was printed does not count."""
    said = repr(replace(document, as_of=date.min))
    return hashlib.sha256(said.encode()).hexdigest()[:16]
