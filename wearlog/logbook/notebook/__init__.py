"""A notebook: a sheet as a farm keeps it, understood row by row by what stands in it, and brought into the log."""
