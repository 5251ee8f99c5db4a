"""The words of every question of the interview: what is asked, one line of help, and more on ``?``.

The keys are those of the questions with the item's number left out.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wording:
    """One question: the question, one line of help, and the longer help."""

    ask: str
    help: str
    more: str = ""


_DATE_MORE = (
    "Write the day as 2027-05-24, 5/24/2027 (month first) or May 24 2027. The weekday is said back "
    "to you; if it is not the one you meant, type back."
)

PARTS: dict[str, str] = {
    "business": "The business",
    "mail": "Addresses",
    "contact": "Who the office can call",
    "aircraft": "Aircraft",
    "pilots": "Who flies",
    "jobs": "Planned jobs",
    "products": "Products",
    "papers": "Papers in hand",
    "closures": "Days that do not count",
    "days": "Notary, post office and mail",
    "places": "Places in town",
}

INTRODUCTION = (
    "Answer and press Enter; Enter alone takes what stands in [brackets]. Type back for the "
    "question before, ? for more help, - for none, stop to save and stop."
)

WORDS: dict[str, Wording] = {
    "business.legal_name": Wording(
        "What is the legal name of the farm or business?",
        "Exactly as on its papers of formation; your own full name if there is no company.",
        "Offices return packets when the name on a form differs by a comma from the one on file.",
    ),
    "business.id": Wording(
        "What short name should the program use for the business?",
        "Small letters, digits and hyphens, such as sandbur-flats.",
    ),
    "business.entity": Wording(
        "What is its legal form?",
        "It decides who may sign, and under which title.",
        "Without papers of formation it is you yourself: individual. Two or more who own it "
        "together without a company are a partnership.",
    ),
    "business.managed_by": Wording(
        "Who manages the company?",
        "It decides the title beside the signature; the articles of organization say so.",
    ),
    "business.home_state": Wording(
        "Which state is home?",
        "Two letters, such as NE, or the full name.",
    ),
    "business.time_zone": Wording(
        "{what} lies on two clocks. Which one does the farm go by?",
        "A number; - if you do not know. Only what is counted in hours needs it.",
        "A few notices and reports are due within 24 or 72 hours, and mailby writes the moment as "
        "your clock shows it. Everything else is counted in whole days.",
    ),
    "mail.to.first": Wording(
        "Where does mail reach you? First line of the address:",
        "Road and number, or P.O. box, without the name of the business.",
    ),
    "mail.to.next": Wording(
        "Second line of the mail address:",
        "Town, state and ZIP code, unless a line must come before them.",
    ),
    "mail.to.more": Wording(
        "One more line of the mail address?",
        "Enter alone when the address is complete.",
    ),
    "mail.elsewhere": Wording(
        "Is the farm's own place somewhere else?",
        "Yes or no; some forms ask where the business really is.",
    ),
    "mail.place.first": Wording(
        "Where is the farm's own place? First line:",
        "Road and number; a P.O. box will not do, because nobody lives or works there.",
    ),
    "mail.place.next": Wording(
        "Second line of the farm's own place:",
        "Town, state and ZIP code, unless a line must come before them.",
    ),
    "mail.place.more": Wording(
        "One more line of the farm's own place?",
        "Enter alone when the address is complete.",
    ),
    "contact.name": Wording(
        "Whom can an office call about a packet?",
        "The full name of one person.",
    ),
    "contact.phone": Wording(
        "At which telephone number?",
        "Such as 402-555-0143.",
    ),
    "contact.email": Wording(
        "At which e-mail address?",
        "Such as office@sandburflats.example; Enter alone for none.",
    ),
    "aircraft.more": Wording("Do you have another aircraft?", "Yes or no."),
    "aircraft.again": Wording(
        "Aircraft {what}: do you still have it?", "No takes it out; its details come next."
    ),
    "aircraft.maker": Wording("Who made the aircraft?", "As on its plate."),
    "aircraft.model": Wording("Which model is it?", "As on its plate, such as TG-46."),
    "aircraft.id": Wording(
        "What short name should the program use for this aircraft?",
        "Small letters, digits and hyphens, such as tg46; every aircraft and pilot has its own.",
    ),
    "aircraft.serial": Wording(
        "What is its serial number?", "From the plate, every letter and digit as it stands."
    ),
    "aircraft.remote_id_serial": Wording(
        "What is its Remote ID serial number?",
        "From the maker's papers or the controller's screen; Enter alone if it has none.",
        "Registration papers show the Remote ID serial number when there is one.",
    ),
    "aircraft.takeoff_weight_lb": Wording(
        "What does it weigh at take-off, in pounds?",
        "With full tank and batteries, such as 118 or 54.9.",
        "The weight decides how it is registered: from 55 lb on by mail with an N-number, below "
        "that usually online.",
    ),
    "aircraft.acquired": Wording(
        "How did you come by it?", "It decides what proves that it is yours."
    ),
    "aircraft.registration_number": Wording(
        "What is its registration number?",
        "As on the certificate; Enter alone if it has none yet.",
    ),
    "aircraft.n_number_wanted": Wording(
        "Do you want an N-number for it although it is under 55 lb?",
        "Yes or no; most owners of light aircraft register online and need none.",
        "The paper registration with an N-number takes longer and needs a notary for an LLC.",
    ),
    "pilots.more": Wording("Does somebody else fly too?", "Yes or no."),
    "pilots.again": Wording(
        "{what}: do they still fly for you?", "No takes them out; the name comes next."
    ),
    "pilots.name": Wording("What is the full name of the person who flies?", "As on the papers."),
    "pilots.id": Wording(
        "What short name should the program use for this person?",
        "Small letters, digits and hyphens, such as odile; every aircraft and pilot has its own.",
    ),
    "jobs.first": Wording(
        "Is there a job to plan for?",
        "Yes or no; the papers that are needed, and by when, follow from the jobs.",
    ),
    "jobs.more": Wording("Is there another job?", "Yes or no."),
    "jobs.again": Wording(
        "Job {what}: does it still stand?", "No takes it out; its details come next."
    ),
    "jobs.id": Wording("What do you call this job?", "A word or two, such as pasture north."),
    "jobs.first_day": Wording(
        "On which day does it begin?", "Such as 2027-05-24, 5/24/2027 or May 24 2027.", _DATE_MORE
    ),
    "jobs.last_day": Wording(
        "On which day does it end at the latest?",
        "The last day counts; papers must be in force through it.",
        _DATE_MORE,
    ),
    "jobs.state": Wording("In which state?", "Two letters, such as SD, or the full name."),
    "jobs.time_zone": Wording(
        "{what} lies on two clocks. Which one does this job go by?",
        "A number; - if you do not know. Only what is counted in hours needs it.",
        "The clock where the job lies, not the one at home. A job in the home state goes by the "
        "clock at home.",
    ),
    "jobs.for_hire": Wording(
        "Is it for hire?",
        "Yes for somebody else's land or for pay; no for your own land.",
        "Work for hire usually needs a commercial license; your own land may need a private one.",
    ),
    "jobs.material": Wording("What do you put out?", "It decides which state papers are needed."),
    "jobs.restricted_use": Wording(
        "Is it a restricted-use product?",
        "Yes or no; the label says RESTRICTED USE PESTICIDE at the top.",
    ),
    "jobs.aircraft": Wording(
        "Which aircraft may do it?", "Numbers or short names, such as 1, 2; or all."
    ),
    "jobs.pilots": Wording("Who may fly it?", "Numbers or short names, such as 1, 2; or all."),
    "jobs.controlled_airspace": Wording(
        "Does it lie in controlled airspace?",
        "Yes or no; around airports with a tower, see the aeronautical chart.",
    ),
    "jobs.outside_blanket_area": Wording(
        "Does it go beyond what your blanket airspace authorization allows?",
        "Yes or no; a higher flight or a place too near to an airport would.",
    ),
    "jobs.congested_area": Wording(
        "Does it lie over a town or another congested area?", "Yes or no."
    ),
    "jobs.note": Wording("Anything to note about it?", "For yourself; Enter alone for nothing."),
    "jobs.hours": Wording(
        "Do you know at what hour of the day you take off?",
        "Yes or no; only notices that are due so many hours before a flight need it.",
        "Without an hour mailby names the last whole day on which such a notice is in time "
        "whatever hour you start.",
    ),
    "jobs.first_flight": Wording(
        "Job {what}: at what hour is the first flight of the day?",
        "Such as 6:30, 6:30 am or 14:00, by the clock where the job lies; Enter alone if unknown.",
    ),
    "products.first": Wording(
        "Do you want to name the products you spray?",
        "Yes or no; with the labels before you. Application records are filled in from it.",
        "mailby does not know labels: it keeps what you read on them, fills it into your records "
        "and refuses a product whose label does not allow it from the air.",
    ),
    "products.more": Wording("Is there another product?", "Yes or no."),
    "products.again": Wording(
        "{what}: do you still use it?", "No takes it out; its details come next."
    ),
    "products.name": Wording("What is the product called?", "As on the label, every word."),
    "products.id": Wording(
        "What short name should the program use for this product?",
        "Small letters, digits and hyphens; every product has its own.",
    ),
    "products.registration": Wording(
        "Which registration number does the label show?",
        "After EPA Reg. No., such as 99999-1; Enter alone if you cannot read it now.",
    ),
    "products.by_air": Wording(
        "What does the label say of application by air?",
        "In its directions for use; leave it at 3 until you have read them.",
        "A use that the label does not allow is against the law, whatever papers are in hand.",
    ),
    "products.restricted_use": Wording(
        "Is it a restricted-use product?",
        "Yes or no; the label says RESTRICTED USE PESTICIDE at the top.",
    ),
    "products.restricted_entry_hours": Wording(
        "For how many hours must people stay out of the field afterwards?",
        "The restricted-entry interval of the label, such as 12; Enter alone if it gives none.",
        "It stands under Agricultural Use Requirements. Keep people out that long.",
    ),
    "products.for": Wording(
        "Job {what}: which of the products do you use?",
        "Numbers, such as 1, 2; all; Enter alone to leave it open.",
    ),
    "papers": Wording(
        "Which of these papers are in hand already?",
        "Numbers, such as 1, 3; all; or Enter alone for none. Have them before you.",
        "Listed is what the rules table asks for with the jobs you named. Leave out a paper whose "
        "last day you cannot read now; mailby setup --operation adds it later.",
    ),
    "papers.number": Wording("{what}: which number does it have?", "Enter alone if it has none."),
    "papers.issued_on": Wording(
        "{what}: on which day was it issued?", "Enter alone if it does not say.", _DATE_MORE
    ),
    "papers.valid_through": Wording(
        "{what}: which is the last day it is good?",
        "The day printed on it; open if it does not end. The last day counts.",
        "When the rules table counts the last day from the day of issue, it stands in brackets; "
        "if the paper says something else, the paper is right. " + _DATE_MORE,
    ),
    "closures.first": Wording(
        "Are there days when nobody can leave the field, or the notary is away?",
        "Yes or no; calving, planting, harvest: the plan keeps its errands off those days.",
    ),
    "closures.more": Wording("Are there more such days?", "Yes or no."),
    "closures.again": Wording(
        "{what}: does it still stand?", "No takes it out; its details come next."
    ),
    "closures.who": Wording("Who is not available?", "A number or the word."),
    "closures.first_day": Wording(
        "From which day on?", "Such as 2027-03-08, 3/8/2027 or Mar 8 2027.", _DATE_MORE
    ),
    "closures.last_day": Wording("Through which day?", "The last day counts.", _DATE_MORE),
    "closures.why": Wording("Why?", "For yourself; Enter alone for nothing."),
    "days.notary_days": Wording(
        "On which days of the week is a notary in?", "Such as tue, thu or mon-fri."
    ),
    "days.post_office_days": Wording(
        "On which days of the week is the post office open?", "Such as mon-sat."
    ),
    "days.mail_service": Wording(
        "How do you send papers?", "The plan counts the days on the road by it."
    ),
    "places.first": Wording(
        "Do you want to note places in town with their days and hours?",
        "Yes or no; mailby trips shows them and plans the drives by them.",
        "A notary, post office, test center, office or bank. Where a place says its days, they "
        "take the place of the days given before.",
    ),
    "places.more": Wording("Is there another place?", "Yes or no."),
    "places.again": Wording(
        "{what}: do you still go there?", "No takes it out; its details come next."
    ),
    "places.kind": Wording("What is it?", "A number or the word."),
    "places.name": Wording("What is it called?", "Such as the name of the bank or the office."),
    "places.town": Wording("In which town?", "Enter alone if it goes without saying."),
    "places.days": Wording(
        "On which days of the week is it open?", "Such as tue, thu or mon-fri; - if unknown."
    ),
    "places.hours": Wording(
        "At which hours?",
        "Such as 9:00-16:30, or tue 9:00-12:00; thu 13:00-16:00; Enter alone if unknown.",
        "Hours run from 0:00 to 24:00, so half past four in the afternoon is 16:30. With a break: "
        "8:00-11:30, 12:30-16:00.",
    ),
    "places.phone": Wording("At which telephone number?", "Enter alone for none."),
    "menu": Wording(
        "Is this right?",
        "1 keeps it; the number of a part asks that part again; later stops here.",
        "Nothing is kept in place of what was known before until you choose keep.",
    ),
}
