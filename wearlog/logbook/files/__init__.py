"""Many entries at once, and entries taken back or settled."""
