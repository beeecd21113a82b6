"""The connection that reading and writing blocks hand out, under a name of ours: nobody above the store needs the library's."""

from sqlalchemy import Connection

__all__ = ["Connection"]
