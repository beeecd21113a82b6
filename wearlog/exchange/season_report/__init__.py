"""The printable season report: one HTML file with everything in it, for the workshop wall and the parts counter."""
