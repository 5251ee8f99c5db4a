"""One application told by answering one plain question after the other."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from compliance.app.interview import Ask, BackError, Question, Talk
from compliance.app.interview_parts import FILE, Option, Read, read_choice, read_yes_no
from compliance.app.record_begin import RecordTalk
from compliance.app.record_readers import (
    read_allows_air,
    read_product_name,
    read_record_element,
)
from compliance.app.record_words import INTRODUCTION, OFFERED, find_wording
from compliance.base.dates import parse_iso_date, say_date
from compliance.base.problems import DataProblemsError, SourceRef
from compliance.engine.flight_records import match_flights
from compliance.engine.record_fill import fill_record
from compliance.engine.records import RecordRules
from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.record_elements import ELEMENTS, ElementKind
from compliance.facts.record_flights import list_flight_cells
from compliance.facts.record_parse import parse_record
from compliance.facts.record_raw import Cell, RawRecord
from compliance.facts.records import Application, UsedProduct
from compliance.facts.zones import find_zone
from compliance.outputs.records_words import LABEL_CAUTION
from compliance.outputs.words import wrap

_MOST_PRODUCTS = 20
_TYPED = SourceRef(file=FILE)


def hold_record_talk(
    begin: RecordTalk,
    ask: Ask,
    tell: Callable[[str], None],
    keep: Callable[[Mapping[str, str]], None],
) -> RawRecord:
    """Ask until the record is told and the person wants it kept.

    Raises:
        StoppedError: The person chose to stop.
        EOFError: Nobody is there to answer any more.
    """
    talk = Talk(ask=ask, tell=tell, keep=keep)
    talk.load_state(begin.state)
    tell(wrap(f"The record of an application on {begin.job.id}. {LABEL_CAUTION}"))
    tell(wrap(INTRODUCTION))
    while True:
        talk.begin()
        try:
            raw = _Script(talk, begin).run()
        except BackError:
            talk.step_back()
            continue
        except DataProblemsError as error:
            tell("\nSomething does not fit together yet:")
            for problem in error.problems:
                tell(wrap(f"! {problem.sentence}", indent=2, hang=4))
                tell(wrap(problem.hint, indent=4))
            _reopen(talk)
            continue
        if raw is not None:
            return raw
        _reopen(talk)


def _reopen(talk: Talk) -> None:
    """Ask everything again, with the answers offered."""
    talk.earlier |= talk.answers
    talk.answers.clear()
    talk.keep(talk.state)


@dataclass(slots=True)
class _Script:
    """The questions in the order a person finds natural."""

    talk: Talk
    begin: RecordTalk

    def run(self) -> RawRecord | None:
        """Ask everything; None means that it is to be asked again."""
        cells: dict[str, str] = {"job": self.begin.job.id, "anyway": self.begin.anyway}
        for key in ("aircraft", "pilot"):
            cells[key] = self._put_holder(key)
        cells["day"] = self._put_element("day", "", default=self._offer_day(), needed=True)
        for name in ("start", "end"):
            default = self._offer(name, day=cells["day"])
            cells[name] = self._put_element(name, "", default=default, day=cells["day"])
        products = self._put_products()
        asked = self._find_asked(cells, products)
        known = self._find_known(cells, products)
        for name in ELEMENTS:
            element = ELEMENTS[name]
            plain = not element.of_product and element.kind is not ElementKind.EITHER
            if name in asked and plain and element.key not in cells and name not in known:
                cells[element.key] = self._put_element(name, "", default=self._offer(name))
        raw = _make_raw(cells, products)
        record, problems = parse_record(raw, self.begin.operation, "", self.begin.today)
        if record is None:
            raise DataProblemsError(problems)
        self._show(record)
        flight = self.begin.flight
        if flight is not None:
            raw = replace(raw, flight=flight.number)
        elif record.start and record.end and not match_flights(record, self.begin.flights):
            wish = self._put("log-flight", read_yes_no, default="yes")
            raw = replace(raw, log_flight=wish == "yes")
        answer = self._put("keep", read_yes_no, default="yes", lasting=False)
        return raw if answer == "yes" else None

    def _put(
        self,
        name: str,
        read: Read,
        *,
        default: str | None = None,
        options: tuple[Option, ...] = (),
        optional: bool = False,
        lasting: bool = True,
    ) -> str:
        base = name.rpartition(" ")[2]
        words = ELEMENTS[base].words if base in ELEMENTS else base
        question = Question(
            key=f"record {name}",
            words=find_wording(base, words),
            read=read,
            default=default,
            optional=optional,
            options=options,
            lasting=lasting,
        )
        return self.talk.put(question)

    def _put_holder(self, key: str) -> str:
        job, operation = self.begin.job, self.begin.operation
        flown = self._find_flown(key)
        # A record cannot name another aircraft than its flight; another pilot only to correct it.
        if flown and (key == "aircraft" or self.begin.correct is None):
            return flown
        if key == "aircraft":
            options = tuple((one.id, f"{one.maker} {one.model}") for one in operation.aircraft)
            usual = job.aircraft
        else:
            options = tuple((one.id, one.name) for one in operation.pilots)
            usual = job.pilots
        ids = [word for word, _ in options]
        last = self.begin.last
        offered = "" if last is None else (last.aircraft if key == "aircraft" else last.pilot)
        fits = offered in (usual if self.begin.correct is None else ids)
        default = flown or (offered if fits else usual[0])
        # Those of the job are shown; another one is taken by its name, and pointed out.
        shown = tuple(one for one in options if one[0] in {*usual, default})
        options = (*shown, *(one for one in options if one not in shown))
        return self._put(key, read_choice(options), default=default, options=shown)

    def _put_element(
        self, name: str, prefix: str, *, default: str = "", needed: bool = False, day: str = ""
    ) -> str:
        zone = find_zone(self.begin.operation, self.begin.job)
        read = read_record_element(name, self.begin.today, parse_iso_date(day), zone)
        offered = default or None
        return self._put(f"{prefix}{name}", read, default=offered, optional=not needed)

    def _find_flown(self, key: str, day: str = "") -> str:
        """Give what the flight named says, of its second day when *day* is that; empty without."""
        flight = self.begin.flight
        return "" if flight is None else list_flight_cells(flight, day).get(key, "")

    def _offer_day(self) -> str:
        if self._find_flown("day"):
            return self._find_flown("day")
        last = self.begin.last
        if self.begin.correct is not None and last is not None:
            return last.on.isoformat()
        return self.begin.today.isoformat()

    def _offer(self, name: str, product: UsedProduct | None = None, *, day: str = "") -> str:
        """Offer what the flight or the last record said; of a correction all, else what lasts."""
        if name in {"start", "end"} and self._find_flown(name, day):
            return self._find_flown(name, day)
        if self.begin.correct is None and name not in OFFERED:
            return ""
        source = product if ELEMENTS[name].of_product else self.begin.last
        return "" if source is None else source.find(name)

    def _put_products(self) -> tuple[dict[str, str], ...]:
        found: list[dict[str, str]] = []
        needed = self.begin.job.material is Material.PESTICIDE
        while len(found) < _MOST_PRODUCTS:
            prefix = f"{len(found) + 1} "
            name = self._put_name(prefix, len(found), needed=needed and not found)
            if not name:
                break
            found.append({"product": name} | self._put_product(name, prefix))
        return tuple(found)

    def _put_name(self, prefix: str, place: int, *, needed: bool) -> str:
        """Ask for a product's name; the operation's products stand as choices."""
        anyway = bool(self.begin.anyway)
        known = [
            one for one in self.begin.operation.products if anyway or one.by_air is not ByAir.NO
        ]
        listed = self.begin.job.products
        known.sort(key=lambda one: one.id not in listed)
        options = tuple((one.name, one.name) for one in known)
        last = self.begin.last.products if self.begin.last is not None else ()
        default = last[place].name if place < len(last) else ""
        if place == 0 and self.begin.flight is not None and self.begin.flight.product:
            flown = self.begin.flight.product
            default = next((one.name for one in known if one.id == flown), flown)
        barred = {
            word.casefold()
            for one in self.begin.operation.products
            if one.by_air is ByAir.NO and not anyway
            for word in (one.name, one.id)
        }
        read = read_product_name(options, barred)
        return self._put(
            f"{prefix}product", read, default=default or None, options=options, optional=not needed
        )

    def _put_product(self, name: str, prefix: str) -> dict[str, str]:
        operation, job = self.begin.operation, self.begin.job
        listed = operation.name_product(name)
        last = self.begin.last.products if self.begin.last is not None else ()
        old = next((one for one in last if one.name == name), None)
        cells: dict[str, str] = {}
        if job.material is Material.PESTICIDE:
            if listed is None or listed.by_air is ByAir.UNKNOWN:
                read = read_allows_air(name, anyway=bool(self.begin.anyway))
                cells["by_air"] = self._put(f"{prefix}by-air", read)
            if listed is None:
                usual = old.restricted_use if old is not None else job.restricted_use
                cells["restricted_use"] = self._put(
                    f"{prefix}restricted-use", read_yes_no, default="yes" if usual else "no"
                )
        asked = self._find_asked({}, ({"product": name, **cells},))
        for element in ELEMENTS.values():
            if not element.of_product or element.name == "product" or element.name not in asked:
                continue
            held = "" if listed is None else getattr(listed, element.key, "")
            if not held:
                default = self._offer(element.name, old)
                cells[element.key] = self._put_element(element.name, prefix, default=default)
        return cells

    def _find_asked(
        self, cells: Mapping[str, str], products: tuple[dict[str, str], ...]
    ) -> frozenset[str]:
        """Find the elements the rules ask for, those of an either-or both."""
        begin, job = self.begin, self.begin.job
        restricted = any(self._is_restricted(one) for one in products) if products else False
        record = Application(
            number=0,
            written_on=begin.today,
            job=job.id,
            state=job.state,
            for_hire=job.for_hire,
            material=job.material,
            on=parse_iso_date(cells.get("day", "")) or begin.today,
            products=(UsedProduct(name="any", restricted_use=restricted, by_air=ByAir.YES),),
        )
        rows = RecordRules(table=begin.table, operation=begin.operation).find(record)
        names = {name for row in rows for name in row.elements}
        return frozenset(names.union(*(ELEMENTS[name].either for name in names)))

    def _is_restricted(self, product: Mapping[str, str]) -> bool:
        if "restricted_use" in product:
            return product["restricted_use"] == "yes"
        listed = self.begin.operation.name_product(product["product"])
        return listed.restricted_use if listed is not None else self.begin.job.restricted_use

    def _find_known(
        self, cells: Mapping[str, str], products: tuple[dict[str, str], ...]
    ) -> frozenset[str]:
        """Find the elements that are filled in without asking."""
        raw = _make_raw(cells, products)
        record, _ = parse_record(raw, self.begin.operation, "", self.begin.today)
        if record is None:
            return frozenset()
        return frozenset(fill_record(record, self.begin.operation, self.begin.log)[1])

    def _show(self, record: Application) -> None:
        self.talk.tell("\nTHE RECORD")
        record, _ = fill_record(record, self.begin.operation, self.begin.log)
        self.talk.tell(wrap(f"{say_date(record.on)}, {record.job}", indent=2))
        for name, element in ELEMENTS.items():
            text = record.find(name)
            if text and element.kind is not ElementKind.EITHER and name != "day":
                self.talk.tell(wrap(f"{element.words}: {text}", indent=2, hang=4))


def _make_raw(cells: Mapping[str, str], products: tuple[dict[str, str], ...]) -> RawRecord:
    return RawRecord(
        what="the record",
        place=_TYPED,
        cells={key: Cell(text=text, place=_TYPED) for key, text in cells.items()},
        products=tuple(
            {key: Cell(text=text, place=_TYPED) for key, text in one.items()} for one in products
        ),
    )
