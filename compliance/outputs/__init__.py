"""Values to text or bytes: plan, checklist, calendar file, cover sheet."""
