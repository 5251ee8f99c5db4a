"""What is known about an operation: model, parser, checks. Imports base."""
