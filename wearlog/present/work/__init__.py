"""Services and the long lists of the daybook in words."""
