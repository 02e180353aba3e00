"""The only layer that opens files."""
