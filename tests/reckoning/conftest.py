"""Farms that stand ready."""

from tests.farm_fixtures import demo_file, demo_store, entered_farm, farm, file_farm
from tests.reckoning.screen_farm import farm_store, screen_farm_made_once

__all__ = ["demo_file", "demo_store", "entered_farm", "farm", "farm_store", "file_farm", "screen_farm_made_once"]
