"""netcheck checks plain-text descriptions of electrical power and control panels."""

__version__ = "0.1.0"
