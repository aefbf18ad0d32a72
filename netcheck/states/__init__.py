"""Which states a panel can get into: what moves, what follows, and what can never happen."""
