"""Widgets take values and post messages; they never see the session."""
