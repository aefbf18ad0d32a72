"""The drawing of a panel: rungs between rails, laid out by rule and written as SVG."""
