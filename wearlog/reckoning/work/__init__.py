"""What machines did: meters, ground, stops, and which services are due."""
