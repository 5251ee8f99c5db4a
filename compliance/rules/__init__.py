"""The rules table: model, parser, checks. Imports facts and base."""
