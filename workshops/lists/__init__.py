"""Lists in and out: a file to a table, its rows to what would happen, records to a file."""
