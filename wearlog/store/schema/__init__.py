"""Every table, explicit, and which fact each one holds."""

from wearlog.store.schema.catalogue import FACT_OF_TABLE, TABLE_OF_FACT, table_of
from wearlog.store.schema.columns import metadata

__all__ = ["FACT_OF_TABLE", "TABLE_OF_FACT", "metadata", "table_of"]
