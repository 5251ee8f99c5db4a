"""A license that is signed, mailed and waited for; a test says how long it lasts."""

_LICENSE = """\
  - id: own.license
    title: License
    holder: operation
    why: An invented need.
    office: own.office
    validity: @validity
    renewal: @renewal
    steps:
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, after: [], @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed,
          calendar: post-office, after: [sign], @own}
      - {name: transit, title: In the mail, kind: wait, mail: out, event: received,
          after: [mail], @own}
      - {name: review, title: At the office, kind: wait, days: {fast: 1, usual: 2, slow: @slow},
          event: granted, after: [transit], @own}
    cite: own example
    edition: none
    confidence: common-practice
"""


def write_license(validity: str, renewal: str = "{}", *, slow: int = 3) -> str:
    """Write the license's row; with no *renewal* (an empty text) it has no renewal at all."""
    text = _LICENSE if renewal else _LICENSE.replace("    renewal: @renewal\n", "")
    days = text.replace("@slow", str(slow))
    return days.replace("@validity", validity).replace("@renewal", renewal)
