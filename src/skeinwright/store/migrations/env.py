"""Run by Alembic inside the transaction that `store.versions` has begun; there is no alembic.ini, a studio migrates itself when it is opened."""

from alembic import context

from skeinwright.store.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True, transactional_ddl=True)
with context.begin_transaction():
    context.run_migrations()
