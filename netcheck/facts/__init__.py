"""Shared conclusions, one a file.  Each says what it concludes and from which other facts."""
