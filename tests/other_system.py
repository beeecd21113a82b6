"""Which tests run a second time under the rules of another system (`windows_rules.py`): some through each door of the program.

Those runs alone: `pytest -m other_system`. And which tests are left out where the system itself has those rules.
"""

from __future__ import annotations

from typing import Final

#: by module: store, exchange, commands, screens
TWICE: Final = {
    "tests.store.test_backup": (
        "test_the_first_write_of_a_day_makes_a_backup_of_what_was_there_before",
        "test_reading_makes_no_backup",
        "test_a_damaged_log_makes_no_backup_over_a_good_one",
        "test_thinning_removes_the_files_and_nothing_else",
        "test_restore_puts_the_backup_in_place_and_the_old_log_aside",
        "test_restore_where_there_is_no_log",
        "test_a_damaged_backup_is_refused_and_the_log_stays",
    ),
    "tests.store.test_restoring": (
        "test_a_disk_that_knows_no_links_is_restored_too",
        "test_a_journal_of_a_log_that_is_gone_is_not_played_into_the_backup",
        "test_a_new_log_does_not_get_the_journal_of_one_that_is_gone",
        "test_restore_lists_every_copy_and_takes_each_by_its_name",
        "test_what_a_crash_left_half_built_is_removed_and_what_is_being_built_stays",
        "test_a_file_in_the_place_of_the_backup_folder_costs_the_backup_and_not_the_entry",
    ),
    "tests.exchange.test_import_and_export": (
        "test_a_folder_is_imported_once_and_again_is_nothing_new",
        "test_the_folders_own_time_zone_counts_then_the_logs",
        "test_a_log_without_a_clock_says_whose_was_taken",
        "test_exporting_twice_gives_the_same_bytes",
        "test_an_earlier_export_is_replaced_whole",
        "test_a_folder_with_other_files_is_left_alone_unless_told",
        "test_an_export_that_cannot_be_written_leaves_nothing_behind",
    ),
    "tests.exchange.test_export_workbook": (
        "test_a_workbook_must_be_named_as_one_and_a_failed_one_leaves_nothing",
        "test_the_calendar_has_an_event_for_each_service_with_a_day",
    ),
    "tests.exchange.test_order_files": (
        "test_the_workbook_holds_every_line_and_its_sums_to_the_cent",
        "test_what_was_written_is_received_as_it_is",
        "test_nothing_is_left_of_a_workbook_that_could_not_be_written",
        "test_a_folder_with_other_files_is_left_alone_and_one_of_orders_is_renewed",
    ),
    "tests.exchange.test_bundles": (
        "test_two_cabs_that_swap_a_stick_end_up_the_same",
        "test_an_older_bundle_is_replaced_and_nothing_else",
        "test_packing_that_is_interrupted_leaves_the_older_bundle",
    ),
    "tests.cli.test_commands": (
        "test_wrong_words_get_a_sentence_and_an_exit_code",
        "test_with_no_log_at_all_it_says_how_to_begin",
        "test_the_first_day_from_nothing_to_a_logged_breakage_and_back",
        "test_a_reading_a_run_and_a_stop",
        "test_stock_received_used_and_counted",
        "test_settings_change_what_is_shown",
        "test_a_service_noted_as_done_is_no_longer_due",
        "test_demo_without_a_terminal_prints_its_brief",
        "test_an_import_with_a_mistake_names_the_line_and_brings_in_nothing",
        "test_backup_restore_and_upgrade",
        "test_an_older_and_a_newer_file_are_told_apart",
        "test_check_finds_a_row_changed_behind_the_journal_s_back",
    ),
    "tests.cli.test_merge_commands": (
        "test_a_merge_tells_first_and_takes_nothing_unasked",
        "test_a_merge_begins_the_log_of_a_new_laptop",
    ),
    "tests.cli.test_inbox_command": (
        "test_a_dry_run_shows_all_and_saves_nothing",
        "test_every_text_file_of_a_folder_is_read",
    ),
    "tests.cli.test_sheet_commands": (
        "test_an_inspection_goes_out_with_cautions_first_and_comes_back_as_one_entry",
    ),
    "tests.cli.test_plan_commands": ("test_the_report_of_an_empty_farm_is_a_page_too",),
    "tests.tui.test_screens_first_day": ("test_four_pages_lead_to_a_yard_that_answers_from_starting_guesses",),
    "tests.tui.test_screens_log_breakage": (
        "test_the_usual_case_takes_at_most_ten_keys_and_takes_parts_off_stock",
        "test_one_key_after_saving_brings_all_back",
        "test_when_saving_fails_the_entry_stays_with_the_reason",
    ),
    "tests.tui.test_screens_settings_fit": (
        "test_changed_settings_are_one_entry_and_everything_is_shown_by_them",
        "test_colours_are_seen_at_once_and_remembered",
        "test_this_device_gets_another_name_in_the_history",
    ),
    "tests.tui.test_screens_two_cabs": (
        "test_a_bundle_is_looked_at_first_and_then_taken_whole",
        "test_packing_into_a_folder_takes_the_usual_name_and_the_screens_remember_the_stick",
    ),
    "tests.tui.test_screens_papers": ("test_what_is_sure_is_saved_as_one_entry_and_the_rest_stays",),
}  # fmt: skip


#: what needs calls that Windows has not, with the reason that stands in the list of what was left out
NEEDS: Final = {
    "tests/cli/test_progress_line.py": "no pseudo-terminal can be made here",
    "tests/kills/": "no process can be forked and killed here",
    "tests/e2e/test_kill_while_saving.py": "no process can be forked and killed here",
    "tests/store/test_mishaps.py": "no process can be forked here",
    "tests/exchange/test_bundles.py::test_what_is_no_bundle_is_told": "no named pipe can be made here",
    "tests/tui/test_reckoned_ahead.py": "no process can be forked here, so nothing is reckoned ahead",
    "tests/reckoning/test_quiet_solver.py": "the C library is not reached by one name here",
}


def left_out(test: str) -> str:
    """Return why a test is left out where there is no fork; empty for all others."""
    return next((reason for start, reason in NEEDS.items() if test.startswith(start)), "")


def runs_twice(module: str, test: str) -> bool:
    """Say whether a test is one of them."""
    return test in TWICE.get(module, ())
