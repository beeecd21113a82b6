"""The same thing entered twice: found, offered, and made one by one deed that one undo takes back."""
