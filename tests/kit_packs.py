"""A township of the invented farm's county with a permit of its own, as a pack."""

TOWNSHIP = """\
authority: Burrell Crossing Township
reviewed: 2026-12-01
offices:
  - {id: bc.clerk, title: Township clerk, cite: ordinance, edition: "2026", confidence: read}
papers:
  - id: bc.permit
    title: Township spraying permit
    holder: operation
    why: The township asks for it.
    when: [{job.state: NE}]
    office: bc.clerk
    validity: {kind: from-document}
    cite: ordinance
    edition: "2026"
    confidence: read
    pattern: mailed
    documents:
      - {name: form, title: Form, template: ne-aerial-business-application, originals: 1,
         cite: ordinance, confidence: read}
"""
