"""What the demo's farm sprays, and the record of one application of it, as a user writes them."""

PRODUCTS = """
products:
  - id: thistle-out
    name: Thistle-Out 4
    registration: 99999-1
    active_ingredient: inventedone
    maker: Invented Chemistry Co.
    by_air: yes
    restricted_use: yes
    restricted_entry_hours: 48
  - {id: ground-only, name: Groundhold, by_air: no}
"""
RECORD = """\
day: 2027-06-15
start: "06:10"
end: "07:45"
aircraft: tg46
pilot: odile
customer: Harlan Quill
customer_address: 9 Far Road
place: Section 9
site: pasture
crop: pasture grass
target: leafy spurge
area: 40
wind_speed: 7
wind_direction: NW
temperature: 71
certificate: INVENTED-SD-1
pilot_address: 2 Near Road
pilot_shown: 2027-03-02
products:
  - {id: thistle-out, amount: 5 gal, concentration: 1 pt in 3 gal}
"""
