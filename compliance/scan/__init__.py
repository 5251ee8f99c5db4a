"""Reading filled forms and pictures of them. Imports facts and base."""
