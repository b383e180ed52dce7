"""Alembic's entry: runs the migrations on the connection that ``migrate`` hands over."""

from alembic import context

from hobnote.keeping.schema import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata)
with context.begin_transaction():
    context.run_migrations()
