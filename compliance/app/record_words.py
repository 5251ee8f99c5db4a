"""The words of the questions about one application, by element."""

from compliance.app.interview_words import Wording

# What is likely the same the next time; weather, times and amounts never are.
OFFERED = frozenset(
    {
        "customer",
        "customer-address",
        "place",
        "site",
        "crop",
        "target",
        "method",
        "equipment",
        "mixing-place",
        "applicator",
        "certificate",
        "pilot-address",
        "pilot-certificate",
        "pilot-shown",
        "registration",
        "active-ingredient",
        "maker",
        "rate",
        "concentration",
        "re-entry",
    }
)
INTRODUCTION = (
    "Answer and press Enter; Enter alone takes what stands in [brackets], - leaves a thing out. "
    "Type back for the question before, stop to save and stop."
)

_LABEL = "Copy it from the label, not from memory."

QUESTIONS: dict[str, Wording] = {
    "aircraft": Wording("Which aircraft?", "Its number or short name."),
    "pilot": Wording("Who flew?", "The number or short name."),
    "day": Wording(
        "On which day?", "Work past midnight gets a record for each day, of the one flight."
    ),
    "start": Wording("When did it begin?", "On the clock there, such as 06:10."),
    "end": Wording("When did it end?", "On the clock there, such as 07:45."),
    "customer": Wording("Who is the customer?", "The name of the person or farm served."),
    "customer-address": Wording("What is the customer's address?", "On one line."),
    "place": Wording(
        "Where was it?",
        "So that a stranger finds it: county, section and range, or the name of the field.",
    ),
    "site": Wording("What kind of site was treated?", "Such as pasture, fence row, corn field."),
    "crop": Wording("Which crop?", "Such as corn; pasture grass counts."),
    "crop-stage": Wording("At which stage was the crop?", "Such as four leaves."),
    "target": Wording("Against what?", "The weed, insect or disease."),
    "area": Wording("How many acres were treated?", "Digits, such as 40 or 12.5."),
    "wind-speed": Wording(
        "How fast was the wind, in miles an hour?", "Measured there, at the time."
    ),
    "wind-direction": Wording("From where did the wind blow?", "Such as NW."),
    "temperature": Wording("How warm was it, in degrees Fahrenheit?", "Digits, such as 71."),
    "equipment": Wording("With which equipment?", "Machine and nozzles."),
    "mixing-place": Wording("Where was it mixed and loaded?", "A place a stranger finds."),
    "re-entry": Wording("After how many hours may people go in again?", _LABEL),
    "applicator": Wording("Who is the applicator?", "Whose certificate the work was done under."),
    "certificate": Wording("What is the number of that certificate?", "As printed on the card."),
    "pilot-address": Wording("What is the pilot's address?", "On one line."),
    "pilot-certificate": Wording("What is the number of the pilot's certificate?", "As printed."),
    "pilot-shown": Wording(
        "On which day did the pilot show knowledge and skill?",
        "The day 14 CFR 137.19(e) was met, such as 2027-03-02.",
    ),
    "product": Wording(
        "Which product was applied?",
        "Its name as on the label, or its number here. Enter alone or - when there is no other.",
    ),
    "by-air": Wording(
        "Does its label allow it to be applied by air?",
        "Read the directions for application by air. mailby does not judge labels.",
    ),
    "restricted-use": Wording("Is it a restricted-use product?", "The label says so at its top."),
    "registration": Wording("What is its EPA registration number?", f"Such as 99999-1. {_LABEL}"),
    "active-ingredient": Wording("What is its active ingredient?", f"The common name. {_LABEL}"),
    "maker": Wording("Who makes it?", _LABEL),
    "amount": Wording("How much of it was used in all?", "Not the mix. Such as 12.5 gal or 3 lb."),
    "rate": Wording("At which rate?", "Such as 1 pt an acre."),
    "concentration": Wording("At which concentration?", "Such as 2 pt in 3 gal of water."),
    "log-flight": Wording(
        "No flight of that time is in the log. Log it too?",
        "It starts the clocks of copies, posting and reports.",
    ),
    "keep": Wording("Keep it like this?", "Yes keeps it; no asks everything again."),
}


def find_wording(name: str, words: str) -> Wording:
    """Give the words of a question; those without their own are asked plainly."""
    return QUESTIONS.get(name) or Wording(f"What is to be recorded as {words}?", "On one line.")
