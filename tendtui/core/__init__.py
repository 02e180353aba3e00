"""Plain values and rules of a rack: no files, no clock, no screen."""
