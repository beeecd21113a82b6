"""Whether what is entered can be believed: rules of rows, rules between rows, and what is only doubtful."""
