"""The full screen: shows, asks, calls a verb, shows the answer."""
