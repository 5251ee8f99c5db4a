"""The database. Imports facts and base."""
