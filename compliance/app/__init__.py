"""Use cases: load, check, compute, write. The only place where disk, database and core meet."""
