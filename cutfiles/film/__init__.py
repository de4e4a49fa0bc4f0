"""The film: patterns nested on it, placed, marked: what a file holds."""
