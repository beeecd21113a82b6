"""What people write in a field, a cell or an option, read by one function each."""
