"""The rules, one a file; a file's name is the fault's name in trade words."""
