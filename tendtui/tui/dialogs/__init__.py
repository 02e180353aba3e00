"""Questions that stay until answered."""
