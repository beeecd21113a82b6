"""How alembic runs our migrations: always on the connection it is given, inside the caller's transaction."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=context.config.attributes.get("target_metadata"),
    # SQLite cannot alter a column: such a step builds the table anew
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
