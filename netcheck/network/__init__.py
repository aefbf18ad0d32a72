"""Graphs of nodes and contacts: which are joined, through what, and on what condition."""
