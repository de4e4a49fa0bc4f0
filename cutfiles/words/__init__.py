"""Numbers and data as sentences of the trade."""
