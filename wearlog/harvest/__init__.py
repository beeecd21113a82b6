"""The machine in the field: meter lines, capacity, days to finish, moisture, calibration and loss. Pure; no store, no words."""
