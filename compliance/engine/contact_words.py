"""The telephones and e-mail addresses in a line that also holds a name."""

import re

from compliance.engine.check_words import is_same_email, is_same_phone, unify_marks

_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
_PHONE = re.compile(
    r"(?<![\w+-])(?<!\d[./])(?:\+1(?:[\s./-]*|[,_])|1(?:[\s./-]+|[,_]))?"
    r"(?:\([2-9]\d{2}\)|[2-9]\d{2})(?:[\s./-]*|[,_])[2-9]\d{2}(?:[\s./-]*|[,_])\d{4}"
    r"(?:(?=\s*(?:x|ext)\b|x\d|ext\d)|(?!\w|-\w|/\d))",
    re.IGNORECASE,
)
# A word that says what follows, which marks may join to the number.
_OF_PHONE = re.compile(r"\b(?:tel|telephone|phone|ph|cell|mobile)\W{0,3}(?=[(+\d])", re.IGNORECASE)


def list_other_contacts(says: str, phone: str, email: str) -> tuple[tuple[str, str], ...]:
    """Give the telephones and e-mail addresses in a line that are not those of the facts.

    Shape: (what stands there, what the facts say). Only what is plainly one of them counts: ten
    digits in three groups (North American Numbering Plan, from memory), and a text round an @.
    Other words and numbers are passed over; so is what the facts do not know. Dashes, blanks and
    dots of every sort count as those of a keyboard; one comma or underscore may join the groups.

    Example:
        >>> list_other_contacts("Odile, 402 555 0199", "402-555-0143", "")
        (('402 555 0199', '402-555-0143'),)
    """
    plain = unify_marks(says)
    mails = [one.strip("'-._+") for one in _EMAIL.findall(plain)]
    phones = _PHONE.findall(_OF_PHONE.sub(" ", _EMAIL.sub(" ; ", plain)))
    other = [(one, phone) for one in phones if phone and not is_same_phone(one, phone)]
    wrong = [(one, email) for one in mails if email and not is_same_email(one, email)]
    return (*other, *wrong)
