"""The club's records for other programs: collections, an open interface, files, and the keys that open them."""
