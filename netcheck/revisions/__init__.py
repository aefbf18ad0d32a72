"""Two texts of one panel: what is another machine, what is only written another way."""
