"""From text to statements: syntax, quantities, and mistakes in words."""
