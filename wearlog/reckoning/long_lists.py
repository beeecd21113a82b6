"""The door to the queries of the long lists for the layers above; what they ask is written in the store."""

from __future__ import annotations

from wearlog.store.long_lists import breakage_query, deed_query, run_query, version_query

__all__ = ["breakage_query", "deed_query", "run_query", "version_query"]
