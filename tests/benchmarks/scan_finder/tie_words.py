"""How forms word what a template's blanks ask for: two wordings worked with, two held out.

Common practice on US forms, no single source. The key is the blank's id, or ``template/id`` where
one template means something else by it. ``|`` parts the boxes of a choice.
"""

WORDS: dict[str, tuple[tuple[str, str], tuple[str, str]]] = {
    "address": (("Address", "Street, city, state, ZIP"), ("Mailing address", "Address of insured")),
    "altitude": (("Maximum altitude (ft AGL)", "Altitude"), ("Highest altitude", "Max. altitude")),
    "amount": (("$", "Amount"), ("Amount in figures", "$")),
    "amount-words": (("Amount in words", "Amount in words"), ("Amount in words", "Amount (words)")),
    "applicant": (
        ("Legal name of applicant", "Applicant"),
        ("Applicant name", "Name of applicant"),
    ),
    "area": (("Area", "Area"), ("Area to be sprayed", "Area")),
    "birth-date": (("Date of birth", "Birth date"), ("Birthdate (MM/DD/YYYY)", "DOB")),
    "business-name": (("Doing business as", "Trade name"), ("Trade name (if any)", "DBA")),
    "buyer-address": (
        ("Address of buyer", "Purchaser's address"),
        ("Buyer's address", "Address of purchaser"),
    ),
    "buyer-name": (("Name of buyer", "Purchaser"), ("Buyer's name", "Name of purchaser")),
    "builder": (("Name of builder", "Builder"), ("Builder's name", "Built by")),
    "certificate-number": (
        ("Certificate number", "Certificate No."),
        ("Certificate #", "Certificate no."),
    ),
    "chief-pilot": (("Chief pilot", "Name of chief pilot"), ("Chief pilot's name", "Chief pilot")),
    "citizenship": (("Citizenship", "Country of citizenship"), ("Citizen of", "Citizenship")),
    "class": (("Class of aircraft", "Class"), ("Aircraft class", "Class of aircraft")),
    "coordinates": (
        ("Coordinates", "Coordinates of area"),
        ("Coordinates of the area", "Coordinates"),
    ),
    "corporation-name": (
        ("Name of corporation", "Corporation"),
        ("Corporate name", "Corporation's name"),
    ),
    "course": (("Name of course", "Course"), ("Course title", "Course or test")),
    "effective-on": (
        ("Effective date", "Policy effective"),
        ("Effective date of policy", "From (effective date)"),
    ),
    "email": (("E-mail", "E-mail address"), ("Email address", "Email")),
    "employer": (("Employer", "Name of employer"), ("Employer's name", "Employed by")),
    "employer-address": (
        ("Employer's address", "Address of employer"),
        ("Employer address", "Employer's mailing address"),
    ),
    "engine-type": (("Type of engines", "Engine type"), ("Kind of engines", "Type of engine")),
    "engines": (("Number of engines", "Engines (number)"), ("No. of engines", "Number of motors")),
    "exemption-number": (("Exemption No.", "Exemption number"), ("Exemption #", "Exemption no.")),
    "expires-on": (
        ("Expiration date", "Policy expires"),
        ("Expiration date of policy", "Expiry date"),
    ),
    "federal-number": (
        ("Certificate number", "Agricultural aircraft operator certificate number"),
        ("Operator certificate no.", "Number of certificate"),
    ),
    "first-day": (("First day", "Start date"), ("Starting date", "Beginning date")),
    "given-on": (("Date given", "Given on"), ("Date notice was given", "Notice given on")),
    "holder": (
        ("Certificate holder", "Name of certificate holder"),
        ("Holder of certificate", "Certificate holder's name"),
    ),
    "home-address": (
        ("Home address", "Residence address"),
        ("Home street address", "Home address (street, city, state, ZIP)"),
    ),
    "home-base": (
        ("Home base of operations", "Home base"),
        ("Principal base of operations", "Base of operations"),
    ),
    "insured-name": (("Name of insured", "Insured"), ("Named insured", "Insured's name")),
    "insurance": (
        ("Insurance company and policy number", "Insurer and policy number"),
        ("Insurance or bond company, policy no.", "Insurance company, policy number"),
    ),
    "insurer": (
        ("Insurance company and policy number", "Insurer and policy no."),
        ("Insurance company, policy number", "Insurance company"),
    ),
    "issued-on": (("Date issued", "Issue date"), ("Date of issue", "Issued on")),
    "last-day": (("Last day", "End date"), ("Ending date", "Last day of operations")),
    "license-year": (("License year", "License year"), ("For license year", "Year of license")),
    "limits": (("Limits of liability", "Limits"), ("Limit of liability", "Liability limits")),
    "mailing-address": (
        ("Mailing address", "Address (street or P.O. box)"),
        ("Mailing address of owner", "Mail address"),
    ),
    "maker": (("Manufacturer", "Make"), ("Aircraft manufacturer", "Name of manufacturer")),
    "max-weight": (
        ("Maximum take-off weight", "Max. takeoff weight (lb)"),
        ("Maximum weight at takeoff", "Maximum takeoff weight"),
    ),
    "memo": (("Memo", "For"), ("Memo", "Memo")),
    "model": (("Model", "Aircraft model"), ("Model designation", "Model name")),
    "n-number": (
        ("N-number", "Registration number N"),
        ("U.S. registration number", "FAA registration number"),
    ),
    "name": (
        ("Name on certificate", "Name"),
        ("Name on the certificate", "Name as on certificate"),
    ),
    "number": (
        ("Certificate number", "Certificate no."),
        ("Certificate No.", "Number of certificate"),
    ),
    "operations-license": (
        ("Commercial operations license number", "Operations license no."),
        ("Commercial operations license no.", "Operations license number"),
    ),
    "operator-name": (("Name of operator", "Operator"), ("Operator's name", "Name of operator")),
    "organized-in": (
        ("State of organization", "Organized in the State of"),
        ("State where organized", "Organized under the laws of"),
    ),
    "organized-on": (
        ("Date of organization", "Organized on"),
        ("Date organized", "Date the company was organized"),
    ),
    "owner-name": (("Name of owner", "Owner"), ("Owner's name", "Registered owner")),
    "paid-on": (("Date", "Date"), ("Date", "Date")),
    "payee": (("Pay to the order of", "Pay to"), ("Pay to the order of", "Payee")),
    "petitioner-name": (
        ("Petitioner", "Name of petitioner"),
        ("Petitioner's name", "Legal name of petitioner"),
    ),
    "physical-address": (
        ("Physical address", "Street address"),
        ("Physical location", "Street address of business"),
    ),
    "pilot-name": (("Name of pilot", "Full name"), ("Pilot's name", "Full name of applicant")),
    "policy-number": (("Policy number", "Policy No."), ("Policy no.", "Number of policy")),
    "principal-place": (
        ("Principal place of take-off", "Principal place"),
        ("Principal place of operation", "Principal take-off place"),
    ),
    "relief": (("Relief sought", "Relief"), ("Extent of relief", "Relief asked for")),
    "remote-number": (
        ("Remote pilot certificate number", "Remote pilot certificate no."),
        ("Remote pilot cert. no.", "Remote pilot certificate number"),
    ),
    "representative": (
        ("Name of representative", "Representative"),
        ("Representative's name", "Name of representative"),
    ),
    "residence": (
        ("Residence", "Residence address"),
        ("Place of residence", "Residential address"),
    ),
    "resident-agent": (
        ("Resident agent", "Name and address of resident agent"),
        ("Resident agent (name, address)", "Resident agent in Nebraska"),
    ),
    "seller-name": (("Name of seller", "Seller"), ("Seller's name", "Name(s) of seller")),
    "serial": (
        ("Serial number", "Manufacturer's serial number"),
        ("Serial No.", "Aircraft serial number"),
    ),
    "sold-on": (("Date of sale", "Sold on"), ("Sale date", "Date sold")),
    "summary": (("Summary", "Summary of petition"), ("Short summary", "Summary for publication")),
    "supervisor": (
        ("Chief supervisor", "Name of chief supervisor"),
        ("Chief supervisor's name", "Supervisor of operations"),
    ),
    "taken-on": (("Date taken", "Taken on"), ("Date photo was taken", "Photo taken on")),
    "telephone": (("Telephone number", "Phone"), ("Phone number", "Telephone")),
    "test-report": (
        ("Knowledge test report number", "Test report no."),
        ("Knowledge test report no.", "Test report number"),
    ),
    "trained-on": (
        ("Date training finished", "Finished on"),
        ("Date finished", "Training finished on"),
    ),
    "valid-through": (("Valid through", "Expires"), ("Expiration date", "Valid until")),
    "weight": (
        ("Takeoff weight", "Weight at take-off"),
        ("Take-off weight (lb)", "Weight, full tank and batteries"),
    ),
    "registration-number": (
        ("FAA registration number", "N-number"),
        ("Federal registration number", "N-number"),
    ),
    "registration-type": (
        (
            "Individual|Partnership|Corporation|Co-owner|LLC",
            "Individual|Partnership|Corporation|Co-owner|LLC",
        ),
        (
            "Individual|Partnership|Corporation|Co-owners|LLC|Non-citizen corporation",
            "Individual|Partnership|Corporation|LLC",
        ),
    ),
    "managed-by": (
        ("Members|Managers|Officers", "Members|Managers"),
        ("Managed by its members|Managed by managers", "Managers|Members|Officers"),
    ),
    "license-kind": (
        ("Commercial|Private", "Commercial|Private"),
        ("Private|Commercial", "Commercial license|Private license"),
    ),
    "how-built": (
        ("From a kit|From parts|By me", "From a kit|From parts"),
        ("Kit|Parts", "Built from a kit|Built from parts"),
    ),
    "english": (
        ("I read, speak, write and understand English", "I can read, speak and understand English"),
        ("I read, write, speak and understand English", "I understand, read and speak English"),
    ),
    "not-registered-abroad": (
        ("The aircraft is not registered in a foreign country", "It is on no foreign register"),
        ("The aircraft is on no foreign register", "Not on a foreign register"),
    ),
}
"""Wordings by blank id; the first pair was worked with, the second held out."""

SIGNING: dict[str, tuple[tuple[str, str], tuple[str, str]]] = {
    "owner": (
        ("Signature of owner", "Applicant's signature"),
        ("Authorized signature", "Owner's signature"),
    ),
    "pilot": (("Signature of applicant", "Applicant's signature"), ("Signature", "Sign here")),
    "seller": (
        ("Signature of seller", "Seller's signature"),
        ("Seller (signature)", "Seller signs here"),
    ),
    "insurer": (
        ("Authorized representative (signature)", "Signature of insurer's agent"),
        ("Authorized signature of insurer", "Signature of authorized representative"),
    ),
    "office": (("Signature", "Signature of officer"), ("Signature", "Signature of official")),
    "registry": (
        ("Signature of official", "Signature"),
        ("Official's signature", "Signature of registrar"),
    ),
}
"""How the signature is asked for, by who signs."""

COMPANIONS: dict[str, tuple[tuple[str, str], tuple[str, str]]] = {
    "printed-name": (
        ("Printed name", "Name (please print)"),
        ("Print name", "Typed or printed name"),
    ),
    "title": (("Title", "Title"), ("Title or position", "Title of signer")),
    "date": (("Date", "Date signed"), ("Date", "Date of signature")),
}
"""What stands beside a signature, by kind."""

STRANGERS: tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]] = (
    (
        ("number", "Fax number"),
        ("text", "Remarks"),
        ("text", "County"),
        ("number", "Account number"),
        ("date", "Date received"),
        ("text", "Referred by"),
        ("number", "Federal tax number"),
        ("text", "Title of the document"),
    ),
    (
        ("number", "Cell phone"),
        ("text", "Comments"),
        ("text", "Web site"),
        ("number", "Case number"),
        ("date", "Date of last inspection"),
        ("text", "Emergency contact"),
        ("number", "Social security number"),
        ("number", "Receipt number"),
    ),
)
"""Places that the template asks for nothing of: kind and words; skipped where a blank is alike."""

WITNESS: tuple[tuple[str, str], tuple[str, str]] = (
    ("Witness", "Signature of witness"),
    ("Witness signature", "Signature of supervisor"),
)
