"""Runs the migrations in the transaction that is handed over."""

from alembic import context

from fieldlog.store.tables import metadata

context.configure(
    connection=context.config.attributes["transaction"],
    target_metadata=metadata,
    render_as_batch=True,
    transactional_ddl=True,  # SQLite can, once the driver leaves transactions alone
)
with context.begin_transaction():
    context.run_migrations()
