"""Pages as values: what is known goes in, lines of text come out; no widget, no session."""
