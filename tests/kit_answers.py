"""The whole answers of the simplest packet of the demo."""

PACKET = "sd.commercial-applicator:odile"
WHOLE = """\
packet: sd.commercial-applicator:odile
documents:
  application:
    enclosed: original
    blanks:
      pilot-name: Odile Ferrant
      birth-date: struck
      home-address: [1 Invented Road, "Burrell Crossing, NE 00000"]
      business: Sandbur Flats Aerial LLC
      business-address: [P.O. Box 0, "Burrell Crossing, NE 00000"]
      categories: filled
      exams: general and aerial, both on 5 January 2027
      signature: filled
      printed-name: Odile Ferrant
      signed-on: 2027-01-11
  fee-check:
    enclosed: original
    blanks:
      payee: South Dakota Department of Agriculture and Natural Resources
      amount: "35.00"
      amount-words: thirty-five dollars
      paid-on: 2027-01-11
      signature: filled
      memo: Odile Ferrant, commercial applicator license
envelope:
  no_corrections: yes
  signature_kind: ink
  fee_amount_usd: "35.00"
  fee_method: check
  address_on_envelope: [1 Invented Street, "Anytown, SD 00000"]
"""
