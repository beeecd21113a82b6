"""The door to the pages of long lists for the layers above, which never import the store. The queries are the store's."""

from __future__ import annotations

from wearlog.store.pages import ListQuery, count_rows, page_from_end, page_of, place_of

__all__ = ["ListQuery", "count_rows", "page_from_end", "page_of", "place_of"]
