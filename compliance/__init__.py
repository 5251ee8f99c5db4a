"""mailby: keep the paperwork of a spray-drone operation on time."""
