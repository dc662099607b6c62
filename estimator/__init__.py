"""From one proved room of wall-hung furniture to a priced property."""

__version__ = "0.2.0"
