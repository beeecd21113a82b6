"""wearlog as a function, as in the tests of the commands."""

from tests.cli.conftest import wearlog

__all__ = ["wearlog"]
