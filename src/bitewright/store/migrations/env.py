"""Run by Alembic: take the steps on the connection that the opened store hands over."""

from alembic import context


def take_steps() -> None:
    """All steps up to the one asked for, in the transaction that is open."""
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, transaction_per_migration=False)
    context.run_migrations()


if __name__ == "env_py":  # as Alembic calls it; whoever merely imports it takes no step
    take_steps()
