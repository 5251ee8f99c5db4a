"""Problems, located YAML and calendar arithmetic. Imports nothing of the project."""
