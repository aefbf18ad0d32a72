"""The commands, and the only place that opens the user's files."""
