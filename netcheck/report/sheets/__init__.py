"""The lists and forms of a report, each a table."""
