"""Any row of any sheet, by its number: found, entered, changed, taken back, with whatever hangs on it."""
