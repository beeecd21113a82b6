"""What sits on machines and what lies on the shelf."""
