"""Run by Alembic: take the steps on the connection that the opened store hands over."""

from alembic import context

context.configure(
    connection=context.config.attributes["connection"], transaction_per_migration=False
)
context.run_migrations()
