"""The name by which the layers above call a connection that they are handed; what is done with it stays in the store."""

from __future__ import annotations

from sqlalchemy import Connection

__all__ = ["Connection"]
