"""How a migration meets the database: as its owner, one at a time, and never for long in anyone's way."""

from alembic import context
from flask import current_app
from sqlalchemy import create_engine, pool, text

# Two servers that start together must not both migrate: the second waits here, and then
# finds nothing left to do. Any number will do as long as it stays the same.
ONE_AT_A_TIME = 5_080_001

engine = create_engine(current_app.config["OWNER_URL"], poolclass=pool.NullPool)

with engine.connect() as connection:
    connection.execute(text("SELECT pg_advisory_lock(:number)"), {"number": ONE_AT_A_TIME})
    # A change of a table that waits behind a long read makes everyone else wait behind itself:
    # better to give up after two seconds and be run again.
    connection.execute(text("SET lock_timeout = '2s'"))
    connection.commit()
    context.configure(
        connection=connection,
        target_metadata=current_app.extensions["migrate"].db.metadata,
        transaction_per_migration=True,
    )
    with context.begin_transaction():
        context.run_migrations()
