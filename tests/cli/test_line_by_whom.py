"""Who did it, said in a plain line, stands in the history of that entry."""

from __future__ import annotations

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm
from wearlog.store.journal import deed_lines


def test_who_did_it_stands_in_the_history_and_the_device_keeps_its_own_person(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    ran = own("log", "kestrel 1712 separator hours, noted by Magda", "--dry-run", "--json")
    assert (ran.json["person"], "person" in ran.json["assumed"]) == ("Magda", True)
    ran = own("log", "kestrel 1712 separator hours, noted by Magda", "--yes")
    assert ran.code == 0, ran.err
    with file_farm.store.reading() as connection:
        assert [one.person for one in deed_lines(connection, limit=2)] == ["Magda", ""]
    # a name that the log knows is read in small letters, and before the rest
    assert own("log", "magda, kestrel 1713 separator hours", "--dry-run", "--json").json["person"] == "Magda"
