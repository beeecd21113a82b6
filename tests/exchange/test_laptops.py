"""A short run of the three laptops of `laptops_machine`."""

from __future__ import annotations

from tests.exchange.laptops_machine import SHORT, Laptops

TestLaptops = Laptops.TestCase
TestLaptops.settings = SHORT
