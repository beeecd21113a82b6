"""Farms that stand ready."""

from tests.farm_fixtures import demo_file, demo_store, entered_farm, farm, file_farm

__all__ = ["demo_file", "demo_store", "entered_farm", "farm", "file_farm"]
