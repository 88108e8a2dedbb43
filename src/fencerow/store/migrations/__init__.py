"""What brings a record from one version of its tables to the next, run by Alembic."""
