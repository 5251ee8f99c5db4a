"""How what is in the mail went: by which service, also when the operation's is another by now."""

from sqlmodel import Session

from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.packets import Packet
from compliance.engine.sent_mail import find_mailed_papers, is_mailed, say_filed
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable
from compliance.store.records import hold_services


def parse_service(packet: Packet, text: str) -> MailService | None:
    """Take the mail service of a mailing that is logged; None when none is named.

    Raises:
        NotFoundError: There is no such service.
        RefusedError: The packet is filed, not mailed.
    """
    if not text:
        return None
    name = text.strip().lower()
    if name not in set(MailService):
        hint = f"one of: {', '.join(MailService)}"
        raise NotFoundError(f"no mail service is called {text!r}", hint=hint)
    if not is_mailed(packet):
        raise RefusedError(say_filed(packet), hint="leave out --by")
    return MailService(name)


def hold_mailings(
    session: Session, old: Operation | None, new: Operation, table: RulesTable
) -> None:
    """Keep how earlier mailings went, when another mail service is told for those to come."""
    if old is None or old.mail_service is new.mail_service:
        return
    hold_services(session, new.id, old.mail_service, sorted(find_mailed_papers(table)))
