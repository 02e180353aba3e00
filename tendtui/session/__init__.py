"""The verbs of the program: state, clock and store behind every face."""
