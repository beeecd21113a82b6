"""Every table, explicit, and which fact each one holds."""

from wearlog.store.schema.catalogue import FACT_OF_TABLE, OWNED, TABLE_OF_FACT, Owned, owned_by, table_of
from wearlog.store.schema.columns import metadata

__all__ = ["FACT_OF_TABLE", "OWNED", "TABLE_OF_FACT", "Owned", "metadata", "owned_by", "table_of"]
