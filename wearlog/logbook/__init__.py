"""What people enter: one function is one deed, checked, written and told back. What it means is reckoned elsewhere."""
