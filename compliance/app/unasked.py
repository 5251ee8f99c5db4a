"""What an interview does not ask, taken over from what was known before it."""

from dataclasses import replace

from compliance.facts.model import HeldPaper, Operation
from compliance.facts.products import Product


def take_over_unasked(old: Operation | None, new: Operation) -> Operation:
    """Give the new operation with what the old one knew beside the questions.

    Shape: own terms of papers that are the same by rule, holder and number; maker and active
    ingredient of products that are the same by short name and name.
    """
    if old is None:
        return new
    papers = {_mark(held): held for held in old.papers}
    products = {(product.id, product.name): product for product in old.products}
    return replace(
        new,
        papers=tuple(
            replace(held, own_terms=papers[_mark(held)].own_terms)
            if _mark(held) in papers
            else held
            for held in new.papers
        ),
        products=tuple(
            _take_over_product(products.get((product.id, product.name)), product)
            for product in new.products
        ),
    )


def _mark(held: HeldPaper) -> tuple[object, ...]:
    return held.paper, held.holder, held.number


def _take_over_product(old: Product | None, new: Product) -> Product:
    if old is None:
        return new
    return replace(new, active_ingredient=old.active_ingredient, maker=old.maker)
