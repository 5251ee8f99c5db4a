"""The typer commands. Thin; holds the one clock."""
