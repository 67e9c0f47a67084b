"""Programs for those who work on this project; nothing of a running club needs them."""
