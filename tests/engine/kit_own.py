"""An invented office and an invented farm, as texts to be completed."""

OWN = "cite: own example, edition: none, confidence: common-practice"
JOB = "state: NE, for_hire: yes, restricted_use: no, aircraft: tg46, pilots: wren"

HEAD = """\
authority: Invented office
states: [NE]
reviewed: 2026-11-25
services:
  - {id: mail.first-class, title: Letter, days: {fast: 2, usual: 3, slow: 4}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.priority, title: Quick letter, days: {fast: 1, usual: 2, slow: 3}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.express, title: Express, days: {fast: 1, usual: 1, slow: 2}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.courier, title: Courier, days: {fast: 1, usual: 1, slow: 2}, calendar: federal,
      reaches_po_box: no, @own}
offices:
  - {id: own.office, title: Office, mail_to: [1 Example Road, Anytown], @own}
papers:
"""

FARM = """\
mailby_file: 1
operation:
  id: sandbur-flats
  legal_name: Sandbur Flats Aerial LLC
  entity: llc
  managed_by: members
  home_state: NE
  mailing_address: [1 Invented Road, "Burrell Crossing, NE 00000"]
  contact: {name: Odile Ferrant, phone: 402-555-0143}
  mail_service: @service
aircraft:
  - {id: tg46, maker: Tallgrass Rotorworks, model: TG-46, serial: "46-00017",
      takeoff_weight_lb: 118, acquired: new}
  - {id: tg18, maker: Tallgrass Rotorworks, model: TG-18, serial: "18-00204",
      takeoff_weight_lb: 49, acquired: new}
pilots:
  - {id: odile, name: Odile Ferrant}
  - {id: wren, name: Wren Castellow}
"""
