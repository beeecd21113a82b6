"""${message}.

Revision: ${up_revision}, after ${down_revision or "nothing"}.
"""

import sqlalchemy as sa

from wearlog.store.reshaping import reshape, usual_in

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = None
depends_on = None

TABLES = sa.MetaData()
# every table that changes, written out whole as it shall be

#: what versions written before say of what is new here; a function of its own where more than columns comes
lift = usual_in(TABLES)


def upgrade() -> None:
    # what only lifts old versions does not need it
    from alembic import op

    for table in TABLES.sorted_tables:
        reshape(op.get_bind(), table)


def downgrade() -> None:
    raise NotImplementedError("The backup made before the upgrade is the way back.")
